package app_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/dwca"
	"trug/science/matrix"
)

const (
	taughtKind = "Mycena pura"
	otherKind  = "Russula ochroleuca"
)

// ownKey is a small matrix of a season's own.
const ownKey = `taxon,name,remarks,form,cap_color,season,habitat
#label,Kinds of the vale,,,,,
1,Mycena pura,,gilled,purple|pink,autumn,leaves
2,Russula ochroleuca,,gilled,yellow,spring,leaves
`

// handIn hands a file of the key in as the coordinator.
func handIn(t *testing.T, s apptest.Season, name, text string) app.KeyFileDone {
	t.Helper()
	done, err := s.TakeKeyFile(t.Context(), s.As("R02"), name, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// settle names n finds of the season with a microscope and has their recorders
// say what colour the cap is.
func settle(t *testing.T, s apptest.Season, name, colour string, n int) (ids []trug.ID) {
	t.Helper()
	named := map[trug.ID]bool{}
	for _, d := range s.Demo.Determinations {
		named[d.RecordID] = true
	}
	for _, r := range s.Demo.Records {
		if len(ids) == n {
			return ids
		}
		if named[r.ID] || r.FieldName.Name != "" || r.Place == nil {
			continue
		}
		if _, err := s.AnswerQuestion(t.Context(), s.As("R02"), r.ID, app.GivenAnswer{Character: "cap_color", States: []string{colour}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Determine(t.Context(), s.As("D1"), r.ID, app.GivenName{ID: s.ID(), Name: name, Basis: []trug.Basis{trug.FromMicroscope}}); err != nil {
			t.Fatal(err)
		}
		ids = append(ids, r.ID)
	}
	t.Fatalf("the invented season has only %d finds to name", len(ids))
	return nil
}

func reasonOf(c app.KeyCandidate, label string) (app.KeyReason, bool) {
	for _, r := range slices.Concat(c.For, c.Against) {
		if r.Label == label {
			return r, true
		}
	}
	return app.KeyReason{}, false
}

func candidate(t *testing.T, sheet app.KeySheet, name string) app.KeyCandidate {
	t.Helper()
	i := slices.IndexFunc(sheet.Candidate, func(c app.KeyCandidate) bool { return c.Name == name })
	if i < 0 {
		t.Fatalf("%s is no candidate: %+v", name, sheet.Candidate)
	}
	return sheet.Candidate[i]
}

// A season learns from its settled finds when its coordinator says so, with
// the count in view on the desk and beside the candidate, and a find's own name
// does not come back to whoever weighs that find.
func TestTheKeyLearnsInView(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx := t.Context()
	if done := handIn(t, s, "matrix", ownKey); !done.Kept || !strings.Contains(done.Says, "2 taxa") {
		t.Fatalf("%+v", done)
	}
	before, err := s.Key(ctx, s.As("R02"))
	if err != nil || !before.OwnMatrix || before.Learns || len(before.Changes) > 0 {
		t.Fatalf("%+v, %v", before, err)
	}
	ids := settle(t, s, taughtKind, "white", 6)
	quiet, err := s.Key(ctx, s.As("R02"))
	if err != nil || len(quiet.Changes) > 0 || quiet.Settled != before.Settled+6 {
		t.Fatalf("without leave: %+v, %v", quiet, err)
	}
	asked := app.KeyAsked{Answers: []app.GivenAnswer{{Character: "cap_color", States: []string{"white"}}}}
	other := s.Demo.Records[len(s.Demo.Records)-1].ID
	unlearned, err := s.KeyOf(ctx, s.As("D1"), other, asked)
	if err != nil || unlearned.Learned != 0 {
		t.Fatalf("%+v, %v", unlearned.Learned, err)
	}
	desk, err := s.SaveKey(ctx, s.As("R02"), true, false)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: the book lists purple and pink alike, its word counts for ten
	// finds; six finds show white: white 6/16, purple and pink 5/16 each.
	i := slices.IndexFunc(desk.Changes, func(c app.KeyLearned) bool {
		return c.Name == taughtKind && c.Finds == 6 && strings.Contains(c.After, "white")
	})
	if i < 0 || !strings.Contains(desk.Changes[i].After, "38 % of 6 finds") || strings.Contains(desk.Changes[i].Before, "finds") {
		t.Fatalf("changes %+v", desk.Changes)
	}
	sheet, err := s.KeyOf(ctx, s.As("D1"), other, asked)
	if err != nil {
		t.Fatal(err)
	}
	r, ok := reasonOf(candidate(t, sheet, taughtKind), "Cap colours")
	if !ok || r.Finds != 6 || sheet.Learned != desk.Settled || !strings.Contains(r.Shows, "of 6 finds") {
		t.Errorf("the sheet says %+v, learned from %d of %d", r, sheet.Learned, desk.Settled)
	}
	own, err := s.KeyOf(ctx, s.As("D1"), ids[0], app.KeyAsked{})
	if err != nil {
		t.Fatal(err)
	}
	if r, _ := reasonOf(candidate(t, own, taughtKind), "Cap colours"); r.Finds != 5 || own.Learned != desk.Settled-1 {
		t.Errorf("a find teaches the key about itself: %+v, learned from %d", r, own.Learned)
	}
	// What was learned goes out with the matrix, and the book's word stays.
	out, err := s.KeyFile(ctx, s.As("R02"), "matrix.csv")
	if err != nil || !strings.Contains(string(out), "white:0.375/6") {
		t.Errorf("%s, %v", out, err)
	}
	if back, err := s.SaveKey(ctx, s.As("R02"), false, false); err != nil || len(back.Changes) > 0 {
		t.Errorf("switched off: %+v, %v", back.Changes, err)
	}
}

// What is expected weighs when it is switched on, by season or by the
// determiner, and is said beside the candidate.
func TestWhatIsExpected(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx := t.Context()
	handIn(t, s, "matrix", ownKey)
	settle(t, s, taughtKind, "purple", 5)
	id := s.Demo.Records[len(s.Demo.Records)-1].ID
	yes, no := true, false
	plain, err := s.KeyOf(ctx, s.As("D1"), id, app.KeyAsked{})
	if err != nil || plain.Expects || candidate(t, plain, taughtKind).Expected != "" {
		t.Fatalf("%+v, %v", plain.Candidate, err)
	}
	if a, b := candidate(t, plain, taughtKind), candidate(t, plain, otherKind); a.Probability != b.Probability {
		t.Errorf("without answers and expectations %g and %g", a.Probability, b.Probability)
	}
	with, err := s.KeyOf(ctx, s.As("D1"), id, app.KeyAsked{Expects: &yes})
	if err != nil {
		t.Fatal(err)
	}
	a, b := candidate(t, with, taughtKind), candidate(t, with, otherKind)
	if !with.Expects || !strings.Contains(a.Expected, "settled find") || !strings.Contains(b.Expected, "not known from autumn") || a.Probability < 10*b.Probability {
		t.Errorf("%+v; %+v", a, b)
	}
	if _, err := s.SaveKey(ctx, s.As("R02"), false, true); err != nil {
		t.Fatal(err)
	}
	if again, err := s.KeyOf(ctx, s.As("D1"), id, app.KeyAsked{}); err != nil || !again.Expects {
		t.Errorf("the season's own choice is not followed: %v", err)
	}
	if again, err := s.KeyOf(ctx, s.As("D1"), id, app.KeyAsked{Expects: &no}); err != nil || again.Expects {
		t.Errorf("the determiner's choice is not followed: %v", err)
	}
}

const ownWords = `character_id,label,question,type,unit,applies_to,asked_of,technical_term,look,views,state_id,state_label,state_definition,state_technical_term,state_stands_for
milk_turns,Milk turns,What colour does the milk turn?,categorical single,,gilled,recorder;determiner,,cut,,violet,Violet,Within a minute,,
milk_turns,,,,,,,,,,stays,Stays white,Does not change,,absent
cap_color,,,,,,,,,,ashen,Ashen,Like cold ashes,,
`

// A season's own characters and states are asked, answered, weighed and taken
// out again; what finds are described with stays.
func TestASeasonsOwnWords(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, desk := t.Context(), s.As("R02")
	bad := handIn(t, s, "characters", strings.Replace(ownWords, "cut,,violet", "sniff,,violet", 1))
	if bad.Kept || len(bad.Faults) == 0 || !strings.Contains(bad.Faults[0], "line 2") {
		t.Fatalf("%+v", bad)
	}
	if done := handIn(t, s, "characters", ownWords); !done.Kept || !strings.Contains(done.Says, "Milk turns") {
		t.Fatalf("%+v", done)
	}
	matrixText := "taxon,name,remarks,form,milk_turns,cap_color\n1,Mycena pura,,gilled,violet,ashen\n2,Russula ochroleuca,,gilled,stays,yellow\n"
	if done := handIn(t, s, "matrix", matrixText); !done.Kept || len(done.Notes) > 0 {
		t.Fatalf("%+v", done)
	}
	var r trug.Record
	for _, x := range s.Demo.Records {
		if x.Form == "gilled" {
			r = x
			break
		}
	}
	q, err := s.AnswerQuestion(ctx, desk, r.ID, app.GivenAnswer{Character: "milk_turns", States: []string{"violet"}})
	if err != nil || !strings.Contains(q.Told, "violet") {
		t.Fatalf("%+v, %v", q, err)
	}
	if _, err := s.AnswerQuestion(ctx, desk, r.ID, app.GivenAnswer{Character: "cap_color", States: []string{"ashen"}}); err != nil {
		t.Fatal(err)
	}
	sheet, err := s.KeyOf(ctx, s.As("D1"), r.ID, app.KeyAsked{})
	if err != nil || sheet.Candidate[0].Name != taughtKind {
		t.Fatalf("%+v, %v", sheet.Candidate, err)
	}
	if _, err := s.DropKeyFile(ctx, desk, "characters"); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), "milk_turns") {
		t.Errorf("words that a find is described with were taken out: %v", err)
	}
	shorter := strings.Join(strings.Split(ownWords, "\n")[:3], "\n") + "\n"
	if done := handIn(t, s, "characters", shorter); done.Kept || !strings.Contains(done.Faults[0], "ashen") {
		t.Errorf("%+v", done)
	}
	for _, c := range []string{"milk_turns", "cap_color"} {
		if _, err := s.AnswerQuestion(ctx, desk, r.ID, app.GivenAnswer{Character: c}); err != nil {
			t.Fatal(err)
		}
	}
	if back, err := s.KeyFile(ctx, desk, "characters.csv"); err != nil || string(back) != ownWords {
		t.Errorf("not what was handed in: %s, %v", back, err)
	}
	if d, err := s.DropKeyFile(ctx, desk, "characters"); err != nil || len(d.Added) > 0 {
		t.Errorf("%+v, %v", d, err)
	}
	if d, err := s.DropKeyFile(ctx, desk, "matrix"); err != nil || d.OwnMatrix || d.Taxa != 173 {
		t.Errorf("%+v, %v", d, err)
	}
}

// A matrix goes out in each form and comes in again alike; a faulty one is
// refused by line and changes nothing.
func TestMatricesInAndOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, desk := t.Context(), s.As("R02")
	handIn(t, s, "matrix", ownKey)
	plain, err := s.KeyFile(ctx, desk, "matrix.csv")
	if err != nil {
		t.Fatal(err)
	}
	want, err := matrix.Read(strings.NewReader(string(plain)), matrix.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"matrix.csv", "matrix.xml", "matrix.txt"} {
		file, err := s.KeyFile(ctx, desk, name)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		done := handIn(t, s, "matrix", string(file))
		if !done.Kept {
			t.Fatalf("%s: %+v", name, done)
		}
		again, err := s.KeyFile(ctx, desk, "matrix.csv")
		if err != nil {
			t.Fatal(err)
		}
		m, err := matrix.Read(strings.NewReader(string(again)), matrix.DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		for taxon := range want.Taxa {
			for c, ch := range want.Characters {
				if a, b := ch.Format(want.Rows[taxon][c]), ch.Format(m.Rows[taxon][c]); a != b {
					t.Errorf("%s: %s, %s: %q became %q", name, want.Taxa[taxon].Name, ch.ID, a, b)
				}
			}
		}
	}
	for text, says := range map[string]string{
		"taxon,name,remarks,cap_color\n#kind,,,unordered\n#states,,,red=Red\n1,Mycena pura,,golden\n": "line 4",
		"taxon,name,remarks,cap_color\n1,Mycena pura\n":                                               "line 2",
		"taxon,name,remarks,roundness\n1,Mycena pura,,yes\n":                                          "no character of the matrix",
		"<Datasets><broken": "",
		"":                  "empty",
	} {
		if done := handIn(t, s, "matrix", text); done.Kept || len(done.Faults) == 0 || !strings.Contains(strings.Join(done.Faults, " "), says) {
			t.Errorf("%q: %+v", text, done)
		}
	}
	if d, err := s.Key(ctx, desk); err != nil || !d.OwnMatrix || d.Taxa != 2 {
		t.Errorf("a refused file changed the key: %+v, %v", d, err)
	}
	if _, err := s.TakeKeyFile(ctx, desk, "matrix", []byte("PK\x03\x04")); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a spreadsheet: %v", err)
	}
	if _, err := s.KeyFile(ctx, desk, "matrix.doc"); trug.KindOf(err) != trug.NotFound {
		t.Errorf("%v", err)
	}
	if faults, err := s.CheckStore(ctx, nil); err != nil || len(faults) > 0 {
		t.Errorf("%v, %v", faults, err)
	}
}

// A deposit holds what was described, by character and in prose, with the
// three blanks apart, and nothing that was said in free words.
func TestDescriptionsInADeposit(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, desk := t.Context(), s.As("R02")
	r := s.Demo.Records[0]
	for _, x := range s.Demo.Records {
		if x.Form == "gilled" && x.FieldName.Name == "" && x.Place != nil {
			r = x
			break
		}
	}
	for _, g := range []app.GivenAnswer{
		{Character: "cap_color", States: []string{"red", "brown"}},
		{Character: "gill_color", States: []string{"white", "cream"}, Either: true},
		{Character: "cap_diameter", Number: "42-51"}, {Character: "stem_width", Number: "12±0.5"},
		{Character: "volva", Blank: "not looked for"}, {Character: "latex", Blank: "not visible"}, {Character: "ring", States: []string{"none"}},
		{Character: "cap_surface", States: []string{"smooth"}, Text: "by the gate of Nab Farm"},
	} {
		if _, err := s.AnswerQuestion(ctx, desk, r.ID, g); err != nil {
			t.Fatalf("%+v: %v", g, err)
		}
	}
	var archive bytes.Buffer
	if _, err := s.WriteArchive(ctx, desk, &archive); err != nil {
		t.Fatal(err)
	}
	d, err := dwca.Read(bytes.NewReader(archive.Bytes()), int64(archive.Len()), dwca.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(d.Finds, func(f dwca.Find) bool { return f.Public == r.Public })
	if i < 0 {
		t.Fatal("the find is not in the deposit")
	}
	facts := map[string]dwca.Fact{}
	for _, x := range d.Finds[i].Facts {
		facts[x.Character] = x
	}
	for character, holds := range map[string]func(dwca.Fact) bool{
		"cap_color":    func(x dwca.Fact) bool { return len(x.States) == 2 && !x.Either && x.Blank == "" },
		"gill_color":   func(x dwca.Fact) bool { return len(x.States) == 2 && x.Either },
		"cap_diameter": func(x dwca.Fact) bool { return x.Number == "42-51" && x.Unit == "mm" },
		"stem_width":   func(x dwca.Fact) bool { return x.Number == "12" && x.Uncertainty == 0.5 },
		"volva":        func(x dwca.Fact) bool { return x.Blank == "not looked for" && len(x.States) == 0 },
		"latex":        func(x dwca.Fact) bool { return x.Blank == "not visible" },
		"ring":         func(x dwca.Fact) bool { return x.Blank == "absent" && x.States[0].Name == "none" },
		"form":         func(x dwca.Fact) bool { return x.States[0].Name == "gilled" },
	} {
		if x, ok := facts[character]; !ok || !holds(x) {
			t.Errorf("%s: %+v", character, x)
		}
	}
	prose := d.Finds[i].Description
	for _, want := range []string{"Pileus 42–51 mm", "12 ± 0.5 mm", "Not assessed:", "Not discernible:"} {
		if !strings.Contains(prose, want) {
			t.Errorf("the prose lacks %q: %s", want, prose)
		}
	}
	if strings.Contains(fmt.Sprintf("%+v", d), "Nab Farm") {
		t.Error("free words are in the deposit")
	}
	for _, f := range d.Finds {
		if f.Month != "" && (len(f.Facts) > 0 || f.Description != "") {
			t.Errorf("a protected find is described: %+v", f)
		}
	}
}

// A pair of the season's own list stays in sight until what its coordinator
// says settles it has been looked at.
func TestASeasonsOwnDoubles(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx := t.Context()
	handIn(t, s, "matrix", "taxon,name,remarks,form,cap_color,spore_print\n1,Mycena pura,,gilled,purple,white\n2,Russula ochroleuca,,gilled,yellow,rust\n")
	_, err := s.SaveLookAlike(ctx, s.As("R02"), s.ID(), app.ShownLookAlike{Name: otherKind, TakenFor: taughtKind, Why: "invented", Settles: "spore print rust, not white; whatever else", Views: []trug.ViewKind{}})
	if err != nil {
		t.Fatal(err)
	}
	id := s.Demo.Records[len(s.Demo.Records)-1].ID
	open := func(answers ...app.GivenAnswer) *app.KeyDouble {
		sheet, err := s.KeyOf(ctx, s.As("D1"), id, app.KeyAsked{Answers: answers})
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(sheet.Doubles, func(d app.KeyDouble) bool { return d.Name == otherKind })
		if i < 0 {
			return nil
		}
		return &sheet.Doubles[i]
	}
	purple := app.GivenAnswer{Character: "cap_color", States: []string{"purple"}}
	d := open(purple, app.GivenAnswer{Character: "form", States: []string{"gilled"}})
	if d == nil || len(d.Open) != 1 || !strings.Contains(d.Open[0], "pore print") {
		t.Fatalf("the pair is not open for its spore print: %+v", d)
	}
	if d := open(purple, app.GivenAnswer{Character: "spore_print", States: []string{"white"}}); d != nil {
		t.Errorf("a purple cap and white print leave it open: %+v", d)
	}
}
