package study

import (
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What is read at 1 V and scaled is what is read on the drive: every number to
// rounding (of sums over a thousand frequencies), and what has no number has none.
func TestScaledIsWhatIsRead(t *testing.T) {
	st := camper(t)
	rapid.Check(t, func(rt *rapid.T) {
		volts := math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(300)).Draw(rt, "volts"))
		i := rapid.IntRange(0, len(st.Candidates)-1).Draw(rt, "candidate")
		opt := Options{Points: 20}.withDefaults()
		read := func(v float64) *Outcome {
			s, err := st.system(i, nil)
			if err != nil {
				rt.Fatal(err)
			}
			m := meterOn(st, s.sys, s.sol)
			m.feedVolts(v)
			o, err := m.bare(context.Background(), s, i, opt, Frequencies(opt.From, opt.To, opt.Points))
			if err != nil {
				rt.Fatal(err)
			}
			return o
		}
		got, want := read(1).fed(volts), read(volts)
		for _, f := range []struct {
			what      string
			got, want any
		}{
			{"curves", got.Curves, want.Curves}, {"figures", got.Figures, want.Figures}, {"stack", got.Coupling, want.Coupling},
			{"chain", got.Chain, want.Chain}, {"greatest", got.Greatest, want.Greatest}, {"noise", got.Noise, want.Noise},
		} {
			if at := unlike(reflect.ValueOf(f.got), reflect.ValueOf(f.want), f.what); at != "" {
				rt.Fatalf("%s of %s on %g V", at, st.Candidates[i].Name, volts)
			}
		}
	})
}

// unlike is where two values differ by more than rounding, "" if nowhere.
func unlike(a, b reflect.Value, at string) string {
	switch a.Kind() {
	case reflect.Float64:
		x, y, most := a.Float(), b.Float(), 1e-9
		if strings.HasSuffix(at, "At") {
			most = 1e-5 // a peak is flat: where it is is known to the root of rounding
		}
		if x == y || x != x && y != y || math.Abs(x-y) <= most*math.Max(1e-3, math.Max(math.Abs(x), math.Abs(y))) {
			return ""
		}
		return at
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			if a.IsNil() == b.IsNil() {
				return ""
			}
			return at
		}
		return unlike(a.Elem(), b.Elem(), at)
	case reflect.Struct:
		for i := range a.NumField() {
			if w := unlike(a.Field(i), b.Field(i), at+"."+a.Type().Field(i).Name); w != "" {
				return w
			}
		}
		return ""
	case reflect.Slice:
		if a.Len() != b.Len() {
			return at
		}
		for i := range a.Len() {
			if w := unlike(a.Index(i), b.Index(i), at); w != "" {
				return w
			}
		}
		return ""
	}
	if !reflect.DeepEqual(a.Interface(), b.Interface()) {
		return at
	}
	return ""
}
