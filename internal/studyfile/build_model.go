package studyfile

import "basswright/internal/study"

// mismatch is what two samples differ by, nil where the study does not say. What
// one part of it does not say is no difference.
func mismatch(v *value) *study.Mismatch {
	if v == nil {
		return nil
	}
	return &study.Mismatch{Bl: v.get("bl").si(), Kms: v.get("kms").si(), Offset: v.get("offset").si()}
}
