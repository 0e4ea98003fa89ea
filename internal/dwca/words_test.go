package dwca

import (
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"trug"
)

var update = flag.Bool("update", false, "write testdata/golden anew")

// TestGolden compares a small deposit with files that a person has read over.
func TestGolden(t *testing.T) {
	for name, got := range unzip(t, written(t, sample())) {
		path := filepath.Join("testdata", "golden", name)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s is not as it was; if that is meant, write it anew with -update and read it over:\n%s", path, got)
		}
	}
}

// openNomenclature are the rows of the list of signs (after Sigovini et al.
// 2016, https://doi.org/10.1111/2041-210X.12594) for the signs that a slip
// offers: sign, scientificName, identificationQualifier, verbatimIdentification.
const openNomenclature = `(none),Russula fellea (Fr.) Fr.,,Russula fellea
cf.,Russula fellea (Fr.) Fr.,cf. fellea,Russula cf. fellea
aff.,Russula,aff. fellea,Russula aff. fellea
sp.,Russula,,Russula sp.
agg.,Lactarius deliciosus (L.) Gray,agg.,Lactarius deliciosus agg.
`

func TestNameCells(t *testing.T) {
	list, err := csv.NewReader(strings.NewReader(openNomenclature)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]Name{
		"(none)": {Name: "Russula fellea", Authorship: "(Fr.) Fr.", Rank: trug.Species},
		"cf.":    {Name: "Russula fellea", Authorship: "(Fr.) Fr.", Rank: trug.Species, Qualifier: trug.Cf},
		"aff.":   {Name: "Russula fellea", Authorship: "(Fr.) Fr.", Rank: trug.Species, Qualifier: trug.Aff},
		"sp.":    {Name: "Russula", Rank: trug.Genus, Qualifier: trug.Sp},
		"agg.":   {Name: "Lactarius deliciosus", Authorship: "(L.) Gray", Rank: trug.Species, Qualifier: trug.Agg},
	}
	for _, want := range list {
		n := tidyName(names[want[0]])
		c := n.cells()
		if c.scientific != want[1] || c.qualifier != want[2] || c.verbatim != want[3] {
			t.Errorf("%s is published as %+v, not %q", want[0], c, want[1:])
		}
		if back := c.name("", ""); back != n {
			t.Errorf("%+v comes back as %+v", n, back)
		}
	}
}

// TestNameRanks holds that taxonRank is that of the scientificName, and what
// stands above a genus that is only near.
func TestNameRanks(t *testing.T) {
	for _, c := range []struct {
		name             Name
		scientific, rank string
	}{
		{Name{Name: "Russula fellea", Rank: trug.Species, Qualifier: trug.Aff, Family: "Russulaceae"}, "Russula", "genus"},
		{Name{Name: "Russula", Rank: trug.Genus, Qualifier: trug.Aff, Family: "Russulaceae", Kingdom: "Fungi"}, "Russulaceae", "family"},
		{Name{Name: "Fuligo", Rank: trug.Genus, Qualifier: trug.Aff, Kingdom: "Protozoa"}, "Protozoa", "kingdom"},
		{Name{Name: "Nescia", Rank: trug.Genus, Qualifier: trug.Aff}, "Fungi", "kingdom"},
		{Name{Name: "Nescia", Rank: trug.Genus, Qualifier: trug.Cf}, "Nescia", "genus"},
	} {
		got := tidyName(c.name).cells()
		if got.scientific != c.scientific || got.rank != c.rank {
			t.Errorf("%+v is published as %q of rank %q, not %q of rank %q", c.name, got.scientific, got.rank, c.scientific, c.rank)
		}
	}
}

func TestStatus(t *testing.T) {
	photo := trug.Determination{Basis: []trug.Basis{trug.FromPhotographs}}
	both := trug.Determination{Basis: []trug.Basis{trug.FromMicroscope, trug.FromPhotographs}}
	for _, c := range []struct {
		naming trug.Naming
		want   string
	}{
		{trug.Naming{}, "no determination"},
		{trug.Naming{Counting: []trug.Determination{photo}}, "one determiner, from photographs"},
		{trug.Naming{Counting: []trug.Determination{photo}, Held: true}, "one determiner, from photographs; a second independent opinion is awaited"},
		{trug.Naming{Counting: []trug.Determination{photo, both}}, "two determiners who agree, from photographs and microscope"},
		{trug.Naming{Counting: []trug.Determination{photo, photo, both}, Differ: true}, "three determiners who differ; the name is the lowest taxon they share, from photographs and microscope"},
		{trug.Naming{Counting: []trug.Determination{both}, Settled: true}, "differing opinions settled by a further determiner, from photographs and microscope"},
	} {
		if got := Status(c.naming); got != c.want {
			t.Errorf("the status is %q, not %q", got, c.want)
		}
	}
}

func TestViewWordsAreWhole(t *testing.T) {
	for _, k := range trug.ViewKinds {
		if w := viewWords[k]; w.orientation == "" || w.part == "" || w.description == "" {
			t.Errorf("the view %s has no words", k)
		}
	}
}

func TestSummary(t *testing.T) {
	want := Counts{Forays: 1, Visits: 1, Absences: 2, Finds: 3, Views: 3, Determinations: 3, Named: 2, Species: 2, Withheld: 1, Generalised: 1}
	if got := Summary(sample()); got != want {
		t.Errorf("the summary is %+v, not %+v", got, want)
	}
}

// TestSeasonDate holds that both ends are instants, across the change of the
// clocks too (Oslo left summer time on 25 October 2026 at 01:00 UTC, by the
// rules of the tz database).
func TestSeasonDate(t *testing.T) {
	oslo, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := seasonDate("2026-10-01", "2026-10-31", oslo), "2026-10-01T00:00:00+02:00/2026-11-01T00:00:00+01:00"; got != want {
		t.Errorf("the season is %s, not %s", got, want)
	}
}
