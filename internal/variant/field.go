package variant

import (
	"basswright/internal/study"
)

// Field is the path of the study's field that sets a figure of a candidate, ""
// where the figure follows from others. The figure is named as in a comparison:
// "net_volume".
func Field(figure string, o *study.Outcome) string {
	path := func(key string) string { return "candidates." + o.Candidate.Name + "." + key }
	s := &o.Candidate.Enclosure
	two := s.Kind.TwoChambers()
	switch figure {
	case "drivers":
		if len(o.Candidate.GroupSpec.Members) == 0 {
			return path("group.driver")
		}
	case "facing":
		if len(o.Candidate.GroupSpec.Facing) == 0 && o.System.Group.Depth() == 2 {
			return path("group.arrangement")
		}
	case "wiring":
		if o.System.Group.CoilsAChannel() > 1 {
			return path("group.wiring")
		}
	case "kind":
		return path("enclosure.kind")
	case "net_volume":
		if s.Rear.Volume > 0 && !two && !s.Kind.Distributed() {
			return path("enclosure.volume")
		}
	case "tuning_hz":
		switch {
		case two && s.Front.Tuning > 0:
			return path("enclosure.front.tuning")
		case !two && s.Rear.Tuning > 0:
			return path("enclosure.tuning")
		}
	case "rear_tuning_hz":
		if two && s.Rear.Tuning > 0 {
			return path("enclosure.rear.tuning")
		}
	case "qtc":
		if s.Rear.SystemQ > 0 {
			return path("enclosure.system_q")
		}
	}
	return ""
}
