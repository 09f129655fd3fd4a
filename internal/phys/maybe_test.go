package phys

import (
	"encoding/json"
	"math"
	"testing"
)

func TestMaybe(t *testing.T) {
	out, err := json.Marshal([]Maybe{1.5, None(), Maybe(math.Inf(1)), 0, 1e-9, 1e22})
	if err != nil || string(out) != "[1.5,null,null,0,1e-9,1e+22]" {
		t.Fatalf("JSON is %s, %v", out, err)
	}
	var back []Maybe
	if err := json.Unmarshal([]byte("[1.5, null, -0.25]"), &back); err != nil {
		t.Fatal(err)
	}
	if len(back) != 3 || back[0] != 1.5 || back[1].OK() || back[2] != -0.25 {
		t.Errorf("read back %v", back)
	}
	if None().OK() || Maybe(math.Inf(-1)).OK() || !Maybe(0).OK() {
		t.Error("OK is wrong about what exists")
	}
	for _, bad := range []string{`"1.5"`, `{}`, `1e999`, `true`} {
		m := Maybe(7)
		if err := json.Unmarshal([]byte(bad), &m); err == nil || m != 7 {
			t.Errorf("%s is taken as %v", bad, m)
		}
	}
}
