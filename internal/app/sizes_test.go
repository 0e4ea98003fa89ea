package app_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/dwca"
	"trug/science/card"
)

// cardRecord makes a record of R08's whose view shows a card of the batch.
func cardRecord(t *testing.T, s apptest.Season, layout string, batch int) (record, view trug.ID) {
	t.Helper()
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "card.jpg", bytes.NewReader(apptest.CardJPEG(t, layout, batch)))
	if err != nil {
		t.Fatal(err)
	}
	record = s.ID()
	sheet, err := s.SaveRecord(t.Context(), s.As("R08"), record, app.EditableRecord{Found: trug.When{Date: "2026-10-10"},
		Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}})
	if err != nil {
		t.Fatal(err)
	}
	return record, sheet.Views[0].ID
}

// ends are the left and right end of a cap.
func ends(i int) []card.Pixel {
	c := apptest.CardSceneCaps[i]
	r := c.MM / 2 * apptest.CardScenePxPerMM
	return []card.Pixel{{X: c.X - r, Y: c.Y}, {X: c.X + r, Y: c.Y}}
}

func capWidth(view trug.ID, figures ...int) app.GivenSize {
	g := app.GivenSize{View: view, Kind: trug.MeasuredLength, Character: "cap_diameter"}
	for _, i := range figures {
		g.Figures = append(g.Figures, app.GivenFigure{Points: ends(i)})
	}
	return g
}

// A card that lies in a photograph is found when it is handed in, and told in
// the photograph's own pixels.
func TestCardIsFoundInAView(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, view := cardRecord(t, s, "pocket", 3)
	c, err := s.ViewCard(ctx, s.As("R08"), view)
	if err != nil {
		t.Fatal(err)
	}
	if !c.Found || c.Layout != "pocket" || c.Batch == nil || *c.Batch != 3 || len(c.Tags) != 4 {
		t.Fatalf("found %+v", c)
	}
	// The edge of the picture lies half a pixel before the middle of the first.
	if e := c.Edge[0]; math.Abs(e.X-apptest.CardSceneCorner) > .5 || math.Abs(e.Y-apptest.CardSceneCorner) > .5 {
		t.Errorf("the card's corner is told at %v", e)
	}
	if want := apptest.CardScenePxPerMM / c.Print.Scale; math.Abs(c.PxPerMM-want) > .02 {
		t.Errorf("%.3f px/mm, want %.3f", c.PxPerMM, want)
	}
	if c.Print.How != trug.PrintForeign || !c.May || len(c.Characters) == 0 || c.FinestPerMM <= 0 {
		t.Errorf("told %+v", c)
	}
	if c.Frame != (app.ShownFrame{Width: apptest.CardSceneWidth, Height: apptest.CardSceneHeight}) {
		t.Errorf("frame %+v", c.Frame)
	}
}

// The card of a batch whose control line was measured gives true sizes; typing
// the line in reckons anew what was measured before.
func TestControlLineReckonsSizesAnew(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	given := app.GivenCards{ID: s.ID(), Layout: "pocket", Paper: "A4", Several: true}
	pdf, b, err := s.MakeCards(ctx, s.As("R08"), given)
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF")) {
		t.Fatalf("cards: %v", err)
	}
	if _, again, err := s.MakeCards(ctx, s.As("R08"), given); err != nil || again.Number != b.Number {
		t.Errorf("the same sheet again is batch %d, was %d: %v", again.Number, b.Number, err)
	}
	given.ID = s.ID()
	if _, next, err := s.MakeCards(ctx, s.As("R02"), given); err != nil || next.Number == b.Number {
		t.Errorf("another sheet is batch %d too: %v", next.Number, err)
	}
	record, view := cardRecord(t, s, "pocket", b.Number)
	sheet, err := s.SaveSize(ctx, s.As("R08"), s.ID(), capWidth(view, 0))
	if err != nil {
		t.Fatal(err)
	}
	size := sheet.Sizes[0]
	if size.Print.How != trug.PrintUnknown || !strings.Contains(size.Words, "how large the card was printed") || size.Figures[0].U95MM < 1.5 {
		t.Errorf("without the control line: %+v", size)
	}
	if _, err := s.MeasureBatch(ctx, s.As("R03"), b.ID, app.GivenControlLine{MM: 97}); trug.KindOf(err) != trug.NotFound {
		t.Errorf("somebody else's printing: %v", err)
	}
	if _, err := s.MeasureBatch(ctx, s.As("R08"), b.ID, app.GivenControlLine{MM: 9.7}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a line of 9.7 mm: %v", err)
	}
	shown, err := s.MeasureBatch(ctx, s.As("R08"), b.ID, app.GivenControlLine{MM: 97})
	if err != nil || shown.Views != 1 {
		t.Fatalf("%+v, %v", shown, err)
	}
	sheet, err = s.App.Record(ctx, s.As("R08"), record)
	if err != nil {
		t.Fatal(err)
	}
	size = sheet.Sizes[0]
	// Of a lens that nobody knows, a slight bend of the card can't be told from
	// its distortion, and the cap lies far from the card: hence the span.
	if got, want := size.Figures[0].MM, 40*.97; math.Abs(got-want) > .15 || size.Figures[0].U95MM > 1.5 || size.Print.How != trug.PrintMeasured {
		t.Errorf("by the control line: %+v, want %.2f mm", size.Figures[0], want)
	}
	if got := sheet.Views[0].PxPerMM; math.Abs(got-apptest.CardScenePxPerMM/.97) > .05 {
		t.Errorf("%.3f px/mm on the screen", got)
	}
	history, err := s.History(ctx, s.As("R08"), record)
	if err != nil || !strings.Contains(history[0].What, "Cap width") {
		t.Errorf("history %+v, %v", history, err)
	}
}

// Several fruitbodies give a range; points correct by hand replace the former.
func TestSeveralFruitbodiesAndCorrection(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, view := cardRecord(t, s, "reference", 0)
	id := s.ID()
	sheet, err := s.SaveSize(ctx, s.As("D1"), id, capWidth(view, 0, 1))
	if err != nil {
		t.Fatal(err)
	}
	if got := sheet.Sizes[0]; got.Range != "25-40 mm (n = 2)" || got.By != s.As("D1").Person.Name || !got.May {
		t.Errorf("two caps: %+v", got)
	}
	if _, err := s.SaveSize(ctx, s.As("D2"), id, capWidth(view, 0)); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another determiner's size: %v", err)
	}
	if sheet, err = s.SaveSize(ctx, s.As("D1"), id, capWidth(view, 1)); err != nil || len(sheet.Sizes) != 1 || math.Abs(sheet.Sizes[0].Figures[0].MM-25) > .1 {
		t.Fatalf("corrected: %+v, %v", sheet.Sizes, err)
	}
	if sheet, err = s.TakeBackSize(ctx, s.As("R08"), id); err != nil || len(sheet.Sizes) != 0 {
		t.Errorf("taken back: %+v, %v", sheet.Sizes, err)
	}
}

// What can't be measured is refused with the reason.
func TestSizesThatAreRefused(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, view := cardRecord(t, s, "reference", 0)
	good := capWidth(view, 0)
	beside, standing, taste, short, high := good, good, good, good, good
	beside.Figures = []app.GivenFigure{{Points: []card.Pixel{{X: -40, Y: 3}, {X: 10, Y: 10}}}}
	standing.Standing = true
	taste.Character = "smell"
	short.Figures = []app.GivenFigure{{Points: ends(0)[:1]}}
	high.AboveFrom, high.AboveTo = 300, 1500
	for name, c := range map[string]struct {
		g    app.GivenSize
		says string
	}{"beside": {beside, "lies beside the picture"}, "not a size": {taste, "no character that a size answers"}, "one point": {short, "has 1 points"}} {
		if _, err := s.TrySize(ctx, s.As("R08"), c.g); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// What was placed well and can't be measured is an answer; it isn't kept.
	for name, c := range map[string]struct {
		g    app.GivenSize
		says string
	}{"standing": {standing, "hold the card upright"}, "as high as the camera": {high, "as high as the camera: check"}} {
		got, err := s.TrySize(ctx, s.As("R08"), c.g)
		if err != nil || got.Size != nil || !strings.Contains(got.Says, c.says) || strings.HasPrefix(got.Says, "Standing:") || strings.ToUpper(got.Says[:1]) != got.Says[:1] {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
		if _, err := s.SaveSize(ctx, s.As("R08"), s.ID(), c.g); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s is kept: %v", name, err)
		}
	}
	plain, err := s.ProposeOutline(ctx, s.As("R08"), view, app.GivenStroke{Stroke: []card.Pixel{{X: 350, Y: 690}}, Reach: 24})
	if err != nil || plain.Found || len(plain.Points) != 0 || !strings.Contains(plain.Says, "by hand") {
		t.Errorf("proposed where nothing lies: %+v, %v", plain, err)
	}
	if _, err := s.TrySize(ctx, s.As("R01"), good); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another recorder: %v", err)
	}
	if got, err := s.TrySize(ctx, s.As("R08"), good); err != nil || got.Size == nil || got.Says != "" {
		t.Errorf("refused: %+v, %v", got, err)
	}
}

// Reckoned again from what is kept, every size is the same to the last bit.
func TestSizesAreReckonedAlike(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, view := cardRecord(t, s, "pocket", 7)
	o, err := s.ProposeOutline(ctx, s.As("R08"), view, app.GivenStroke{Stroke: []card.Pixel{{X: 1090, Y: 250}}})
	if err != nil {
		t.Fatal(err)
	}
	g := app.GivenSize{View: view, Kind: trug.MeasuredOutline, Character: "cap_diameter", AboveFrom: 5, AboveTo: 20,
		Figures: []app.GivenFigure{{Points: o.Points, Placing: o.Placing}}}
	sheet, err := s.SaveSize(ctx, s.As("R08"), s.ID(), g)
	if err != nil {
		t.Fatal(err)
	}
	f := sheet.Sizes[0].Figures[0]
	if want := 40 * sheet.Sizes[0].Print.Scale; math.Abs(f.MM-want) > f.U95MM || f.AreaMM2 == 0 {
		t.Errorf("%+v, want about %.1f mm", f, want)
	}
	says, err := s.CheckStore(ctx, nil)
	if err != nil || len(says) > 0 {
		t.Errorf("checked: %q, %v", says, err)
	}
}

// A tap proposes the cap's outline, and a point is snapped to its edge.
func TestProposing(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, view := cardRecord(t, s, "reference", 0)
	c := apptest.CardSceneCaps[0]
	r := c.MM / 2 * apptest.CardScenePxPerMM
	o, err := s.ProposeOutline(ctx, s.As("R08"), view, app.GivenStroke{Stroke: []card.Pixel{{X: c.X - 60, Y: c.Y}, {X: c.X, Y: c.Y + 5}, {X: c.X + 70, Y: c.Y}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range o.Points {
		if d := math.Hypot(p.X-c.X, p.Y-c.Y); math.Abs(d-r) > 3 {
			t.Errorf("the outline runs %.1f px from the middle, not %.1f", d, r)
			break
		}
	}
	got, err := s.SnapPoint(ctx, s.As("D1"), view, app.GivenSnap{At: card.Pixel{X: c.X + r - 9, Y: c.Y}, Other: card.Pixel{X: c.X, Y: c.Y}, Within: 20})
	if err != nil || !got.Found || got.Placing <= 0 || math.Abs(math.Hypot(got.At.X-c.X, got.At.Y-c.Y)-r) > .7 {
		t.Errorf("snapped to %+v, %v: the edge is %.1f px from the middle", got, err, r)
	}
	if got, err = s.SnapPoint(ctx, s.As("D1"), view, app.GivenSnap{At: card.Pixel{X: c.X, Y: c.Y}, Other: card.Pixel{X: c.X + 50, Y: c.Y}, Within: 20}); err != nil || got.Found || got.Says == "" {
		t.Errorf("where there is no edge: %+v, %v", got, err)
	}
}

// A view that is taken out takes its sizes along, and a cropped one is measured
// in the part that is shown, in the same pixels.
func TestSizesFollowTheirViews(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	record, view := cardRecord(t, s, "reference", 0)
	if _, err := s.SaveSize(ctx, s.As("R08"), s.ID(), capWidth(view, 0)); err != nil {
		t.Fatal(err)
	}
	if err := s.MarkView(ctx, s.As("D1"), record, view, app.GivenMark{ID: s.ID()}); err != nil {
		t.Fatal(err)
	}
	if sheet, err := s.App.Record(ctx, s.As("D1"), record); err != nil || len(sheet.Sizes) != 0 {
		t.Errorf("sizes of a withheld view are shown: %+v, %v", sheet.Sizes, err)
	}
	if _, err := s.ViewCard(ctx, s.As("D1"), view); trug.KindOf(err) != trug.NotFound {
		t.Errorf("the card of a withheld view: %v", err)
	}
	if err := s.CropView(ctx, s.As("R02"), view, app.GivenCrop{Left: .5, Top: 0, Width: .5, Height: .6}); err != nil {
		t.Fatal(err)
	}
	c, err := s.ViewCard(ctx, s.As("D1"), view)
	if err != nil || c.Frame != (app.ShownFrame{Left: 690, Width: 690, Height: 432}) || !c.Found {
		t.Fatalf("after cropping: %+v, %v", c, err)
	}
	sheet, err := s.App.Record(ctx, s.As("D1"), record)
	if err != nil || len(sheet.Sizes) != 1 || math.Abs(sheet.Sizes[0].Figures[0].MM-40) > .2 {
		t.Errorf("after cropping: %+v, %v", sheet.Sizes, err)
	}
	if _, err := s.TrySize(ctx, s.As("D1"), capWidth(view, 1)); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a point in the part cut away: %v", err)
	}
	o, err := s.ProposeOutline(ctx, s.As("D1"), view, app.GivenStroke{Stroke: []card.Pixel{{X: 1090, Y: 250}}})
	if err != nil || math.Abs(o.Points[0].X-1100) > 170 {
		t.Errorf("proposed in the part that is shown: %v, %v", o.Points, err)
	}
	if _, err := s.TakeOutView(ctx, s.As("R08"), record, view); err != nil {
		t.Fatal(err)
	}
	if sheet, err := s.App.Record(ctx, s.As("R08"), record); err != nil || len(sheet.Sizes) != 0 {
		t.Errorf("sizes of a view that was taken out: %+v, %v", sheet.Sizes, err)
	}
}

// A deposit holds each size with unit, uncertainty and method, and the number
// that sums them up; of a view that was taken out, nothing.
func TestSizesInADeposit(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	record, view := cardRecord(t, s, "reference", 0)
	if _, err := s.SaveSize(ctx, s.As("R08"), s.ID(), capWidth(view, 0, 1)); err != nil {
		t.Fatal(err)
	}
	sizes := func() (out []dwca.Size, facts []dwca.Fact) {
		var archive bytes.Buffer
		if _, err := s.WriteArchive(ctx, app.Desk(s.Demo.Season.ID), &archive); err != nil {
			t.Fatal(err)
		}
		d, err := dwca.Read(bytes.NewReader(archive.Bytes()), int64(archive.Len()), dwca.DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range d.Finds {
			out = append(out, f.Sizes...)
			for _, x := range f.Facts {
				if x.Measured {
					facts = append(facts, x)
				}
			}
		}
		return out, facts
	}
	got, facts := sizes()
	if len(got) != 2 || got[0].Character != "cap_diameter" || math.Abs(got[0].MM-40) > .2 || got[0].U95 < .1 || got[1].Number != 2 {
		t.Errorf("published %+v", got)
	}
	if len(facts) != 1 || facts[0].Unit != "mm" || !strings.HasPrefix(facts[0].Number, "25-4") && !strings.HasPrefix(facts[0].Number, "24.9-") && !strings.HasPrefix(facts[0].Number, "25.") {
		t.Errorf("summed up as %+v", facts)
	}
	if _, err := s.TakeOutView(ctx, s.As("R08"), record, view); err != nil {
		t.Fatal(err)
	}
	if got, facts = sizes(); len(got)+len(facts) != 0 {
		t.Errorf("of a view that was taken out: %+v %+v", got, facts)
	}
}

// A size answers its character with its uncertainty and its origin: the finder is
// not asked again, the key weighs it, and somebody's own answer goes first.
func TestSizesAnswerTheKey(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	record, view := cardRecord(t, s, "reference", 0)
	if _, err := s.AnswerQuestion(ctx, s.As("R08"), record, app.GivenAnswer{Character: "cap_diameter", Blank: "not looked for"}); err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	sheet, err := s.SaveSize(ctx, s.As("R08"), id, capWidth(view, 0))
	if err != nil {
		t.Fatal(err)
	}
	ofCap := func(list []app.ShownAnswer) (found []app.ShownAnswer) {
		for _, a := range list {
			if a.Character == "cap_diameter" {
				found = append(found, a)
			}
		}
		return found
	}
	q, err := s.Questions(ctx, s.As("R08"), record)
	if err != nil {
		t.Fatal(err)
	}
	got := ofCap(q.Answered)
	words := sheet.Sizes[0].Words
	if len(got) != 1 || !slices.Equal(got[0].Sizes, []trug.ID{id}) || !strings.Contains(got[0].Answer, "40") ||
		got[0].From != "Measured on the field card: "+words+" in the view top by "+sheet.Sizes[0].By+"." {
		t.Errorf("the recorder is told %+v", got)
	}
	if slices.ContainsFunc(q.Questions, func(x app.ShownQuestion) bool { return x.Character == "cap_diameter" }) {
		t.Error("what was measured is asked again")
	}
	k, err := s.KeyOf(ctx, s.As("D1"), record, app.KeyAsked{})
	if err != nil {
		t.Fatal(err)
	}
	if got := ofCap(k.Answered); len(got) != 1 || got[0].From == "" || !strings.Contains(k.Plain, "40") {
		t.Errorf("at the key: %+v, %q", got, k.Plain)
	}
	if weighs := slices.ContainsFunc(k.Candidate, func(c app.KeyCandidate) bool {
		return slices.ContainsFunc(slices.Concat(c.For, c.Against), func(r app.KeyReason) bool { return strings.HasPrefix(r.Label, got[0].Label) })
	}); !weighs {
		t.Errorf("no candidate's reasons tell of the size: %+v", k.Candidate)
	}
	if k, err = s.KeyOf(ctx, s.As("D1"), record, app.KeyAsked{Answers: []app.GivenAnswer{{Character: "cap_diameter", Number: "55"}}}); err != nil || len(ofCap(k.Answered)) != 1 || ofCap(k.Answered)[0].From != "" {
		t.Errorf("tried otherwise: %+v, %v", ofCap(k.Answered), err)
	}
	if q, err = s.AnswerQuestion(ctx, s.As("R08"), record, app.GivenAnswer{Character: "cap_diameter", Number: "41"}); err != nil || len(ofCap(q.Answered)) != 1 || ofCap(q.Answered)[0].From != "" {
		t.Errorf("answered by hand: %+v, %v", ofCap(q.Answered), err)
	}
	if _, err := s.AnswerQuestion(ctx, s.As("R08"), record, app.GivenAnswer{Character: "cap_diameter"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.TakeBackSize(ctx, s.As("R08"), id); err != nil {
		t.Fatal(err)
	}
	if q, err = s.Questions(ctx, s.As("R08"), record); err != nil || len(ofCap(q.Answered)) != 0 {
		t.Errorf("taken back: %+v, %v", ofCap(q.Answered), err)
	}
}
