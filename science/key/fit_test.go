package key_test

import (
	"strings"
	"testing"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// read reads a plain table of a test.
func read(t *testing.T, table string) *matrix.Matrix {
	t.Helper()
	m, err := matrix.Read(strings.NewReader(table), matrix.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A matrix in other words comes into the vocabulary's: characters and states by
// mark or label, centimetres as millimetres, and what can't be matched named.
func TestFit(t *testing.T) {
	m := read(t, `taxon,name,remarks,form,Cap-Color,cap_diameter,fragrance,smell
#kind,,,unordered,unordered,numeric,unordered,unordered
#unit,,,,,cm,,
#states,,,1=gilled|2=cup,red=Red|mauvish=Mauvish,,strong=Strong,none=None
1,Prima una,,1,red|mauvish,4-5,strong,
2,Prima dua,,1,mauvish,-,,~
`)
	got, notes, err := key.Fit(m, describe.Standing())
	if err != nil {
		t.Fatal(err)
	}
	at := func(taxon int, character string) string {
		c := got.Character(character)
		return got.Characters[c].Format(got.Rows[taxon][c])
	}
	for _, x := range []struct {
		taxon           int
		character, want string
	}{{0, "form", "gilled"}, {0, "cap_color", "red"}, {0, "cap_diameter", "40-50"}, {1, "cap_color", ""}, {1, "cap_diameter", "-"}, {1, "smell", "~"}} {
		if s := at(x.taxon, x.character); s != x.want {
			t.Errorf("taxon %d, %s: %q, want %q", x.taxon+1, x.character, s, x.want)
		}
	}
	all := strings.Join(notes, "\n")
	for _, want := range []string{"mauvish", "fragrance"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing is said of %s: %s", want, all)
		}
	}
	if strings.Contains(all, "cap_diameter") {
		t.Errorf("a size in centimetres was not understood: %s", all)
	}
}

func TestFitRefuses(t *testing.T) {
	for table, says := range map[string]string{
		"taxon,name,remarks,roundness\n1,Prima una,,yes\n":                          "no character of the matrix",
		"taxon,name,remarks,cap_color,Cap-Color\n1,Prima una,,red,red\n":            "both cap_color",
		"taxon,name,remarks,cap_diameter\n1,Prima una,,wide\n2,Prima dua,,narrow\n": "no character of the matrix",
	} {
		if _, _, err := key.Fit(read(t, table), describe.Standing()); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", table, err, says)
		}
	}
}

// The starter matrix is in the vocabulary's words already: it comes back whole.
func TestFitOfTheStarter(t *testing.T) {
	m := starter.InWords()
	got, notes, err := key.Fit(m, describe.Standing())
	if err != nil || len(notes) > 0 {
		t.Fatalf("%v, %v", notes, err)
	}
	for i := range m.Rows {
		for c := range m.Characters {
			if a, b := m.Characters[c].Format(m.Rows[i][c]), got.Characters[c].Format(got.Rows[i][c]); a != b {
				t.Fatalf("%s, %s: %q became %q", m.Taxa[i].Name, m.Characters[c].ID, a, b)
			}
		}
	}
}
