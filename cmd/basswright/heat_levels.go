package main

import (
	"io"
	"slices"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/report"
	"basswright/internal/study"
)

// compression tells what heat costs at each drive.
func (v *heating) compression(cmd *cobra.Command, file string) error {
	if idle := given(cmd, "on", "off", "for", "reach"); idle != "" {
		return usagef("--levels plays without a rest to the end; leave out %s", idle)
	}
	st, err := v.app.open(file)
	if err != nil {
		return err
	}
	i, err := oneCandidate(st, v.candidate)
	if err != nil {
		return err
	}
	opt := study.CompressionOptions{After: report.CompressionTimes()}
	if len(v.volts) == 1 {
		opt.Most = v.volts[0]
	} else {
		opt.Volts = slices.Compact(slices.Sorted(slices.Values(v.volts)))
	}
	c, err := st.Compress(cmd.Context(), i, opt)
	if err != nil {
		return err
	}
	return v.app.write(v.out, func(w io.Writer) error {
		switch v.format.value {
		case "csv":
			return export.CompressionCSV(w, c)
		case "json":
			return export.CompressionJSON(w, c)
		}
		return report.CompressionText(w, st, c, v.app.text(v.out))
	})
}
