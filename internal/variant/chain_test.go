package variant

import (
	"os"
	"testing"
)

// What is offered of groups that are split over channels, behind a bridge, a cable
// and parts, can be applied and is what it is said to be.
func TestVariantsBehindAChain(t *testing.T) {
	for _, name := range []string{"chain.yaml", "gauge.yaml"} {
		data, err := os.ReadFile("../studyfile/testdata/good/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if n, candidates := checkOf(t, data), len(parse(t, data).Candidates); n < 3*candidates {
			t.Errorf("%s: %d variants of %d candidates", name, n, candidates)
		}
		if n := checkNext(t, data); n < 1 {
			t.Errorf("%s: nothing is offered next", name)
		}
	}
}
