package web

import (
	"bytes"
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

// What is written is ASCII, and is read as what was meant.
func TestASCIIJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.MapOf(rapid.String(), rapid.SliceOf(rapid.String())).Draw(t, "value")
		var out bytes.Buffer
		if err := asciiJSON.Marshal(&out, want); err != nil {
			t.Fatal(err)
		}
		for i, b := range out.Bytes() {
			if b >= 0x80 {
				t.Fatalf("byte %d of %q is not ASCII", i, out.Bytes())
			}
		}
		plain, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got, meant any
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(plain, &meant); err != nil {
			t.Fatal(err)
		}
		a, _ := json.Marshal(got)
		b, _ := json.Marshal(meant)
		if !bytes.Equal(a, b) {
			t.Fatalf("read as %s, meant %s", a, b)
		}
	})
}

// The pieces of a text that are written as they are, and one outside the basic plane.
func TestASCIIJSONByHand(t *testing.T) {
	for value, want := range map[string]string{"75\u2009Hz": `"75\u2009Hz"`, "\U0001D11E": `"\ud834\udd1e"`, "<m³>": `"<m\u00b3>"`, "": `""`} {
		var out bytes.Buffer
		if err := asciiJSON.Marshal(&out, value); err != nil {
			t.Fatal(err)
		}
		if got := out.String(); got != want+"\n" {
			t.Errorf("%q is written %s, want %s", value, got, want)
		}
	}
}
