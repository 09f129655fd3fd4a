package enclosure

import (
	"slices"
	"testing"
)

// The taps of a line’s network stand in the order of the duct, whichever of both is
// written first; two at one place are equal, whichever is asked about first.
func TestTapsOfALinesNetworkFollowTheDuct(t *testing.T) {
	for _, c := range []struct {
		front, rear float64
		want        []NetTap
	}{
		{0.3, 1.2, []NetTap{{"front_tap", 0.3}, {"rear_tap", 1.2}}},
		{1.2, 0.3, []NetTap{{"rear_tap", 0.3}, {"front_tap", 1.2}}},
		{0.7, 0.7, []NetTap{{"front_tap", 0.7}, {"rear_tap", 0.7}}},
		{0, 0.7, []NetTap{{"rear_tap", 0.7}}},
	} {
		s := &System{Spec: Spec{Kind: TappedWaveguide, Line: Line{Run: Run{Length: 2, Area: 0.03}, Front: c.front, Rear: c.rear}}}
		if got := s.AsNet().Parts[0].Taps; !slices.Equal(got, c.want) {
			t.Errorf("front at %g m, rear at %g m: %v", c.front, c.rear, got)
		}
	}
	a, b, far := NetTap{"a", 0.7}, NetTap{"b", 0.7}, NetTap{"c", 0.8}
	if alongDuct(a, b) != 0 || alongDuct(b, a) != 0 || alongDuct(a, far) != -1 || alongDuct(far, a) != 1 {
		t.Error("the order of taps is none")
	}
}
