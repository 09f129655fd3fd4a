package datasheet

import (
	"strings"
	"testing"
)

// told is what a reading says of its lines, in short: "fs 30.5 Hz", "? choices"
// or "passed over".
func told(text string) string {
	var out []string
	for _, l := range Read(text, "merlin", nil).Lines {
		switch {
		case l.Ignored != "":
			out = append(out, "– "+l.Ignored)
		case l.Doubt != "":
			out = append(out, "? "+strings.Join(l.Choices, " | "))
		default:
			out = append(out, l.Key+" "+l.Value)
		}
	}
	return strings.Join(out, "\n")
}

const (
	peak   = "– it is a power for moments; rated_power is what the coils bear for long"
	sorts  = "? continuous | music or peak"
	nofreq = "– none of its numbers is a frequency such as 30.5 Hz"
)

// A peak power is never taken for a continuous one, wherever the word stands.
func TestPeakPower(t *testing.T) {
	for text, want := range map[string]string{
		"Pe 700 W peak":                         peak,
		"Rated peak power 700 W":                peak,
		"Nominal power 700 W (music)":           peak,
		"Pe max 700 W":                          sorts,
		"Power 700 W rms, peak":                 sorts,
		"Power: peak 700 W, rms 350 W":          "rated_power 350 W",
		"Power: 700 W peak, 350 W rms":          "rated_power 350 W",
		"Power handling peak 700 W / rms 350 W": "rated_power 350 W",
		"Power peak 700 W rms 350 W":            "rated_power 350 W",
		"Power rms 350 W peak 700 W":            "? 350 W | 700 W",
		"Power 350 W (rms) 700 W (peak)":        "rated_power 350 W",
		"Power (rms/peak) 350/700 W":            "? 350 W | 700 W",
		"Max power 350 W RMS/700 W program":     "rated_power 350 W",
		"Pe 350 W":                              "rated_power 350 W",
		"Maximum continuous power 350 W":        "rated_power 350 W",
	} {
		if got := told(text); got != want {
			t.Errorf("%q:\n got %s\nwant %s", text, got, want)
		}
	}
}

// A number that is glued to letters is never cut in two.
func TestGluedNumbers(t *testing.T) {
	for _, text := range []string{
		"Fs 3O.5 Hz", "Fs 3O,5 Hz", "Fs 3O5 Hz", "Fs 3o Hz", "Fs 30.S Hz", "Fs 30,S Hz", "Fs 3l.5 Hz", "Fs l3.5 Hz", "Fs O.5 Hz", "Fs 4l Hz", "Fs x3O Hz",
		"Re l0.5 ohm", "Re l,5 ohm", "Re 3.S ohm", "Re 3B ohm", "Vas 4l.5 L", "Vas 4l5 L", "Vas 4l L", "Qts.45", "Qts O.45", "Qts 0.4S", "Qts 0,4S",
		"Mms 1O4 g", "Sd 34S cm2", "Re 3.3,3.5 ohm", "Qts 0.45,0.47", "Fs 12,34,567 Hz", "Xmax I2 mm", "Price USD1.2.3",
	} {
		if got := told(text); !strings.HasPrefix(got, "– ") {
			t.Errorf("%q: %s", text, got)
		}
	}
	// What is glued and yet plain stays read.
	for text, want := range map[string]string{
		"Fs 30.5Hz": "fs 30.5 Hz", "Vas 44l": "vas 44 L", "Vas 2692in3": "vas 2692 in3", "Re 2x3.3Ω": "re 3.3 ohm", "SPL 88dB 1W1m": "? 1 W | 2.83 V",
		"Price EUR129": "? it is price | pass it over", "Price USD1,299.00": "? it is price | pass it over", "Cms 2.6E-04m/N": "cms 2.6e-04 m/N",
		"Le 1.1mH@1kHz": "le 1.1 mH", "Mms 1,234.5g": "mms 1234.5 g",
	} {
		if got := told(text); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// "Another line says the same" stands only where it does.
func TestSaysTheSame(t *testing.T) {
	for text, want := range map[string]string{
		"Fs = 30.5Hz\nFs 31 Hz":                               "fs 30.5 Hz\n– another line gives it finer, 30.5 Hz",
		"Fs = 30.5Hz\nresonance 30.5 Hz":                      "fs 30.5 Hz\n– another line says the same",
		"Mms 104 g\nmoving mass 0.104 kg":                     "mms 0.104 kg\n– another line says the same",
		"Voice coils: dual, 4 ohm each\nDVC 2+2 ohm":          "coils {count: 2}\n– another line says how many coils there are; its 4 ohm is not taken",
		"Voice coils: dual, 4 ohm each\nDVC 4+4 ohm":          "coils {count: 2}\n– another line says the same",
		"Mounting depth 132 mm\nInstallation depth 5 3/16 in": "mounting_depth 132 mm\n– another line gives it finer, 132 mm",
	} {
		got := told(text)
		if a, b, _ := strings.Cut(want, "\n"); got != want && got != b+"\n"+a {
			t.Errorf("%q:\n got %s\nwant %s", text, got, want)
		}
	}
}

// Sums, rows of tables, several in one line.
func TestOtherPrints(t *testing.T) {
	for text, want := range map[string]string{
		"Weight 12 lb 6 oz":                   "mass 198 oz",
		"Weight 11 lb 8.5 oz":                 "mass 184.5 oz",
		"Net weight: 5 kg 200 g":              "mass 5200 g",
		"Overall diameter 1 ft 3 in":          "flange 15 in",
		"Weight 12 lb 20 oz":                  "? 12 lb | 20 oz",
		"\"Sd\";\"345\";\"cm²\"":              "sd 345 cm2",
		"\"Fs\",\"30,5\",\"Hz\"":              "fs 30.5 Hz",
		"\"Mounting depth\",\"5.2\"\"\"":      "mounting_depth 5.2 in",
		"Mounting depth, 5.2\"":               "mounting_depth 5.2 in",
		"Vas,44,L":                            "vas 44 L",
		"Vas,44,l":                            "vas 44 L",
		"Fs,30.5,Hz":                          "fs 30.5 Hz",
		"Fs,30,5,Hz":                          "fs 30.5 Hz",
		"fs=30.5, Qms=4.9, Qes=0.49":          "fs 30.5 Hz\nqms 4.9\nqes 0.49",
		"fs=30.5,Qms=4.9,Qes=0.49":            "fs 30.5 Hz\nqms 4.9\nqes 0.49",
		"fs=30.5; Qms=4.9":                    "fs 30.5 Hz\nqms 4.9",
		"fs=30,5, Qms=4,9":                    "fs 30.5 Hz\nqms 4.9",
		"Qes 0":                               "– 0 is out of the range that a study takes, more than 0 to 1000",
		"Fs\n30.5\nHz\nQms\n4.9\nVas\n44 L":   "fs 30.5 Hz\nqms 4.9\nvas 44 L",
		"Fs\n\n30.5 Hz\n\nRe\n\n3.3\n\nohm\n": "fs 30.5 Hz\nre 3.3 ohm",
		"Moving mass (Mms)\n104\n[g]":         "mms 104 g",
	} {
		if got := told(text); got != want {
			t.Errorf("%q:\n got %s\nwant %s", text, got, want)
		}
	}
	// Names in one column, values in another: which is whose cannot be told.
	for _, text := range []string{"Fs\nQms\nQts\n30.5\n4.9\n0.45", "Fs\nRe\n30.5 Hz", "Fs\n30.5\n4.9\nQms", "30.5\nFs\n4.9\n0.45"} {
		if r := Read(text, "merlin", nil); r.Driver != "" {
			t.Errorf("%q: %s", text, r.Driver)
		}
	}
}

// However a digit of a sheet's value is misread as a letter, the sheet gives
// the value that it gave, or none, or asks: never a part of it.
func TestMisreadDigits(t *testing.T) {
	like := map[byte]string{'0': "Oo", '1': "lIi", '5': "S", '8': "B"}
	tried := 0
	for _, line := range []string{
		"Fs 30.5 Hz", "Fs: 30,5 Hz", "Qts 0.45", "Vas 44.15 L", "Vas,105.5,L", "Re 3.15 ohm", "Re 10.8 Ω", "Mms 104.5 g", "Sd 1 195 cm²", "Sd 0.0345 m2",
		"Le 1.15 mH", "Xmax ±10.5 mm", "Bl 11.6 T m", "Cms 0.185 mm/N", "Mounting depth 158 mm", "Power 150 W rms", "fs=30.5, Re=3.15", "Weight 5.18 kg",
	} {
		want := strings.Split(told(line), "\n")
		for i := range line {
			for _, r := range like[line[i]] {
				tried++
				bad := line[:i] + string(r) + line[i+1:]
				for _, got := range strings.Split(told(bad), "\n") {
					if !strings.HasPrefix(got, "– ") && !strings.HasPrefix(got, "? ") && !strings.Contains(strings.Join(want, "\n"), got) {
						t.Errorf("%q: %s", bad, got)
					}
				}
			}
		}
	}
	if tried < 50 {
		t.Errorf("%d tried", tried)
	}
}
