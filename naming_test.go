package trug_test

import (
	"fmt"
	"testing"

	"trug"
)

var wimbrel = trug.NewChecklist([]trug.Taxon{
	{ID: "t1", Name: "Amanita citrina", Rank: trug.Species, Family: "Amanitaceae", Kingdom: "Fungi"},
	{ID: "t2", Name: "Amanita phalloides", Rank: trug.Species, Family: "Amanitaceae", Kingdom: "Fungi"},
	{ID: "t3", Name: "Amanita", Rank: trug.Genus, Family: "Amanitaceae", Kingdom: "Fungi"},
	{ID: "t4", Name: "Agaricus campestris", Rank: trug.Species, Family: "Agaricaceae", Kingdom: "Fungi"},
	{ID: "t5", Name: "Lycoperdon perlatum", Rank: trug.Species, Family: "Lycoperdaceae", Kingdom: "Fungi"},
	{ID: "t6", Name: "Lycogala epidendrum", Rank: trug.Species, Family: "Reticulariaceae", Kingdom: "Protozoa"},
	{ID: "t7", Name: "Hericium erinaceus", Rank: trug.Species, Family: "Hericiaceae", Kingdom: "Fungi"},
	{ID: "t8", Name: "Psalliota campestris", Rank: trug.Species, Family: "Agaricaceae", Kingdom: "Fungi", AcceptedID: "t4"},
	{ID: "t9", Name: "Mycena pura", Rank: trug.Species, Family: "Mycenaceae", Kingdom: "Fungi"},
	{ID: "t10", Name: "Mycena rosea", Rank: trug.Species, Family: "Mycenaceae", Kingdom: "Fungi"},
}, []trug.LookAlike{{Name: "Amanita phalloides", TakenFor: "Agaricus campestris"}},
	[]trug.Protection{{Name: "Hericium erinaceus", Category: 2}})

// opinion is a slip in short: who, name, qualifier, and which earlier slips
// (counted from 0) had been seen.
type opinion struct {
	by, name string
	q        trug.Qualifier
	seen     []int
}

func slips(opinions ...opinion) []trug.Determination {
	out := make([]trug.Determination, len(opinions))
	for i, o := range opinions {
		out[i] = trug.Determination{ID: trug.ID(fmt.Sprintf("slip %02d", i)), By: trug.ID(o.by), Name: o.name, Qualifier: o.q,
			Rank: trug.Species, Basis: []trug.Basis{trug.FromPhotographs}}
		if t, ok := wimbrel.ByName(o.name); ok {
			out[i].Rank, out[i].TaxonID = t.Rank, t.ID
		}
		for _, s := range o.seen {
			out[i].Seen = append(out[i].Seen, out[s].ID)
		}
	}
	return out
}

// The rule of vocabulary.md, "Which name is current", case by case.
func TestWhichNameIsCurrent(t *testing.T) {
	for name, c := range map[string]struct {
		field    string
		opinions []opinion
		want     string
		q        trug.Qualifier
		differ   bool
		settled  bool
		held     bool
	}{
		"no opinion":                 {opinions: nil, want: ""},
		"one opinion gives its name": {opinions: []opinion{{by: "A", name: "Mycena pura"}}, want: "Mycena pura"},
		"agreeing opinions":          {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena pura"}}, want: "Mycena pura"},
		"one of two doubts": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena pura", q: trug.Cf}},
			want: "Mycena pura", q: trug.Cf},
		"differing within a genus": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"}},
			want: "Mycena", q: trug.Sp, differ: true},
		"species against its genus": {opinions: []opinion{{by: "A", name: "Amanita citrina"}, {by: "B", name: "Amanita", q: trug.Sp}},
			want: "Amanita", q: trug.Sp, differ: true},
		"differing within the kingdom": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Lycoperdon perlatum"}},
			want: "Fungi", differ: true},
		"nothing shared": {opinions: []opinion{{by: "A", name: "Lycoperdon perlatum"}, {by: "B", name: "Lycogala epidendrum"}}, want: "", differ: true},
		"the newest does not decide": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"}, {by: "C", name: "Mycena rosea"}},
			want: "Mycena", q: trug.Sp, differ: true},
		"a further determiner who has seen both settles it": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"},
			{by: "C", name: "Mycena rosea", seen: []int{0, 1}}}, want: "Mycena rosea", settled: true},
		"one who has seen only one does not": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"},
			{by: "C", name: "Mycena rosea", seen: []int{1}}}, want: "Mycena", q: trug.Sp, differ: true},
		"nor one of the two themselves": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"},
			{by: "A", name: "Mycena pura", seen: []int{0, 1}}}, want: "Mycena", q: trug.Sp, differ: true},
		"a changed mind stands for the former": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"},
			{by: "A", name: "Mycena rosea", seen: []int{1}}}, want: "Mycena rosea"},
		"a new doubt after it was settled": {opinions: []opinion{{by: "A", name: "Mycena pura"}, {by: "B", name: "Mycena rosea"},
			{by: "C", name: "Mycena rosea", seen: []int{0, 1}}, {by: "D", name: "Mycena pura"}}, want: "Mycena", q: trug.Sp, differ: true},
		"a synonym is its accepted name": {opinions: []opinion{{by: "A", name: "Psalliota campestris"}, {by: "B", name: "Agaricus campestris"}}, want: "Agaricus campestris"},
		"aff. is not the species": {opinions: []opinion{{by: "A", name: "Mycena pura", q: trug.Aff}, {by: "B", name: "Mycena pura"}},
			want: "Mycena", q: trug.Sp, differ: true},
		"off the checklist": {opinions: []opinion{{by: "A", name: "Mycena haematopus"}, {by: "B", name: "Mycena pura"}}, want: "Mycena", q: trug.Sp, differ: true},

		"a look-alike on one opinion is held": {opinions: []opinion{{by: "A", name: "Agaricus campestris"}}, want: "Agaricus campestris", held: true},
		"two independent opinions let it go":  {opinions: []opinion{{by: "A", name: "Agaricus campestris"}, {by: "B", name: "Agaricus campestris"}}, want: "Agaricus campestris"},
		"a second that had seen the first does not": {opinions: []opinion{{by: "A", name: "Agaricus campestris"}, {by: "B", name: "Agaricus campestris", seen: []int{0}}},
			want: "Agaricus campestris", held: true},
		"the field name alone holds it": {field: "Amanita phalloides", opinions: []opinion{{by: "A", name: "Mycena pura"}}, want: "Mycena pura", held: true},
		"a protected name is held":      {opinions: []opinion{{by: "A", name: "Hericium erinaceus"}}, want: "Hericium erinaceus", held: true},
	} {
		t.Run(name, func(t *testing.T) {
			n := trug.NameFind(slips(c.opinions...), trug.FieldName{Name: c.field}, wimbrel)
			if n.Taxon.Name != c.want || n.Qualifier != c.q || n.Differ != c.differ || n.Settled != c.settled || n.Held != c.held {
				t.Errorf("got %q %q differ=%v settled=%v held=%v, want %q %q %v %v %v",
					n.Taxon.Name, n.Qualifier, n.Differ, n.Settled, n.Held, c.want, c.q, c.differ, c.settled, c.held)
			}
		})
	}
}

// Identifiers are made by devices, whose clocks may be wrong: the order in
// which the slips were taken decides, whatever their identifiers say.
func TestNamingIgnoresTheClocksOfDevices(t *testing.T) {
	given := slips(opinion{by: "A", name: "Mycena pura"}, opinion{by: "B", name: "Mycena rosea"}, opinion{by: "C", name: "Mycena rosea", seen: []int{0, 1}},
		opinion{by: "A", name: "Mycena rosea", seen: []int{1, 2}})
	// C's device is a year behind, A's was ahead when the first slip was written.
	behind := map[trug.ID]trug.ID{given[0].ID: "slip 99", given[1].ID: "slip 50", given[2].ID: "slip 00", given[3].ID: "slip 60"}
	var turned []trug.Determination
	for _, d := range given {
		d.ID = behind[d.ID]
		seen := d.Seen
		d.Seen = nil
		for _, s := range seen {
			d.Seen = append(d.Seen, behind[s])
		}
		turned = append(turned, d)
	}
	for n := 1; n <= len(given); n++ {
		a, b := trug.NameFind(given[:n], trug.FieldName{}, wimbrel), trug.NameFind(turned[:n], trug.FieldName{}, wimbrel)
		if a.Taxon != b.Taxon || a.Settled != b.Settled || a.Differ != b.Differ || len(a.Counting) != len(b.Counting) {
			t.Errorf("after %d slips: by right clocks %+v, by wrong ones %+v", n, a, b)
		}
	}
	if n := trug.NameFind(turned[:3], trug.FieldName{}, wimbrel); !n.Settled {
		t.Error("the third opinion settles it, whatever its identifier")
	}
}

func TestProtection(t *testing.T) {
	for name, want := range map[string]bool{"Hericium erinaceus": true, "hericium  erinaceus": true, "Hericium": true, "Hericium sp.": true,
		"Hericium coralloides": false, "Mycena pura": false, "": false, " ": false} {
		if _, got := wimbrel.Protects(name); got != want {
			t.Errorf("%q protected: %v, want %v", name, got, want)
		}
	}
}
