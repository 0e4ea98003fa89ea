package app_test

import (
	"bytes"
	"image/jpeg"
	"io"
	"math"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/dwca"
	"trug/science/card"
	"trug/science/colour"
)

// capColour is a tap on a cap of the scene.
func capColour(view trug.ID, i int) app.GivenColour {
	c := apptest.CardSceneCaps[i]
	return app.GivenColour{View: view, Way: trug.ColourTap, Points: []card.Pixel{{X: c.X, Y: c.Y}}, Radius: 60, Character: "cap_color"}
}

// painted is what the caps of the scene are painted with.
var painted = colour.LabOfSRGB8(190, 60, 40)

func offPaint(lab [3]float64) float64 {
	return colour.Difference(painted, colour.Lab{L: lab[0], A: lab[1], B: lab[2]})
}

// printed makes a printing of pocket cards of R08's with a record whose view
// shows its card.
func printed(t *testing.T, s apptest.Season) (b trug.CardBatch, record, view trug.ID) {
	t.Helper()
	_, b, err := s.MakeCards(t.Context(), s.As("R08"), app.GivenCards{ID: s.ID(), Layout: "pocket", Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	record, view = cardRecord(t, s, "pocket", b.Number)
	return b, record, view
}

// Entering the colours of a printing measures anew what was measured by greys, and
// taking the table back does so again; the history tells both.
func TestPrintedColoursMeasureAnew(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	b, record, view := printed(t, s)
	sheet, err := s.SaveColour(ctx, s.As("D1"), s.ID(), capColour(view, 0))
	if err != nil {
		t.Fatal(err)
	}
	greys := sheet.Colours[0]
	if !greys.Known || !greys.GreysOnly || greys.Mean.GiveOrTake < 8 || !strings.Contains(greys.Corrected, "greys alone") || greys.By != s.As("D1").Person.Name {
		t.Errorf("by greys: %+v", greys)
	}
	table := apptest.CardTable(t, "pocket")
	if _, err := s.SayCardColours(ctx, s.As("R03"), b.ID, table); trug.KindOf(err) != trug.NotFound {
		t.Errorf("somebody else's printing: %v", err)
	}
	shown, err := s.SayCardColours(ctx, s.As("R08"), b.ID, table)
	if err != nil || !shown.Measured || shown.Views != 1 || !strings.Contains(shown.Colours, "bare paper") {
		t.Fatalf("%+v, %v", shown, err)
	}
	if shown.ToMeasure != 1 || shown.Unmeasured != 0 {
		t.Errorf("to be measured anew: %+v", shown)
	}
	if sheet, err = s.App.Record(ctx, s.As("R08"), record); err != nil || !sheet.Colours[0].GreysOnly || !strings.Contains(sheet.Colours[0].Old, "entered or changed") {
		t.Errorf("until then: %+v, %v", sheet.Colours, err)
	}
	if err := s.MeasureAnew(ctx); err != nil {
		t.Fatal(err)
	}
	if all, err := s.CardBatches(ctx, s.As("R08")); err != nil || all[0].ToMeasure != 0 || all[0].Unmeasured != 0 {
		t.Errorf("after that: %+v, %v", all, err)
	}
	if kept, err := s.CardColours(ctx, s.As("R02"), b.ID); err != nil || !bytes.Equal(kept, table) {
		t.Errorf("the table is kept as %q, %v", kept, err)
	}
	sheet, err = s.App.Record(ctx, s.As("R08"), record)
	if err != nil {
		t.Fatal(err)
	}
	now := sheet.Colours[0]
	if now.GreysOnly || offPaint(now.Mean.Lab) > 1.5 || now.Mean.GiveOrTake > greys.Mean.GiveOrTake/2 || now.Old != "" || now.Mean.Name == "" || now.Mean.Munsell == "" {
		t.Errorf("by the table, %.2f off: %+v", offPaint(now.Mean.Lab), now)
	}
	history, err := s.History(ctx, s.As("R08"), record)
	if err != nil || !strings.Contains(history[0].What, "printing were entered") {
		t.Errorf("history %+v, %v", history, err)
	}
	if says, err := s.CheckStore(ctx, nil); err != nil || len(says) > 0 {
		t.Errorf("checked: %q, %v", says, err)
	}
	if shown, err = s.SayCardColours(ctx, s.As("R02"), b.ID, nil); err != nil || shown.Measured {
		t.Errorf("taken back: %+v, %v", shown, err)
	}
	if err := s.MeasureAnew(ctx); err != nil {
		t.Fatal(err)
	}
	if sheet, err = s.App.Record(ctx, s.As("R08"), record); err != nil || !sheet.Colours[0].GreysOnly {
		t.Errorf("after taking back: %+v, %v", sheet.Colours, err)
	}
}

// A table that can't be read says in which line and what to do, and nothing is
// kept of it.
func TestPrintedColoursThatAreRefused(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	b, _, _ := printed(t, s)
	good := string(apptest.CardTable(t, "pocket"))
	for name, c := range map[string]struct{ table, says string }{
		"no head":      {"1,2,3\n", "no column"},
		"no number":    {strings.Replace(good, "lemon,", "lemon,x", 1), `line 3, column L*: expected a number from 0 to 105 for "lemon", found "x`},
		"ten degrees":  {strings.Replace(good, "D65,2\n", "D65,10\n", 1), "set the instrument to 2 degrees"},
		"illuminant A": {strings.Replace(good, "D65,2\n", "A,2\n", 1), `line 2, column illuminant: expected D50, D65 or C, found "A"`},
		"no such":      {good + "mauve,1,2,3,D65,2\n", `column patch: the pocket card has no patch "mauve"; it has cream, lemon`},
		"one missing":  {good[:strings.LastIndex(strings.TrimSpace(good[:strings.Index(good, "paper")]), "\n")+1], "also has the patches"},
		"twice":        {good + "paper,95,0,0,D65,2\n", "stands in it twice"},
		"a comma":      {strings.Replace(good, ",D65", ",5,D65", 1), "line 2 has 7 fields where the first line names 6 columns"},
	} {
		if _, err := s.SayCardColours(ctx, s.As("R08"), b.ID, []byte(c.table)); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.CardColours(ctx, s.As("R08"), b.ID); trug.KindOf(err) != trug.NotFound {
		t.Errorf("something was kept: %v", err)
	}
}

// A colour fills the description in the vocabulary's words, keeps the link to it
// and feeds the key; taken back, the answer says so.
func TestColourFillsTheDescription(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	b, record, view := printed(t, s)
	if _, err := s.SayCardColours(ctx, s.As("R08"), b.ID, apptest.CardTable(t, "pocket")); err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	if _, err := s.SaveColour(ctx, s.As("R08"), id, capColour(view, 0)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.FillFromColour(ctx, s.As("D1"), id); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a determiner filled it in: %v", err)
	}
	if _, err := s.FillFromColour(ctx, s.As("R08"), id); err != nil {
		t.Fatal(err)
	}
	origin := func() app.ShownAnswer {
		q, err := s.Questions(ctx, s.As("R08"), record)
		if err != nil || len(q.Answered) != 1 {
			t.Fatalf("answered %+v, %v", q.Answered, err)
		}
		return q.Answered[0]
	}
	if a := origin(); a.Character != "cap_color" || !strings.Contains(a.Answer, "red") && !strings.Contains(a.Answer, "rust") && !strings.Contains(a.Answer, "orange") || !strings.Contains(a.From, "view top") {
		t.Errorf("answered %+v", a)
	}
	k, err := s.KeyOf(ctx, s.As("D1"), record, app.KeyAsked{})
	if err != nil || len(k.Answered) != 1 || k.Answered[0].From == "" || !strings.Contains(k.Plain, "coloured orange or red") {
		t.Errorf("at the key: %+v, %q, %v", k.Answered, k.Plain, err)
	}
	if _, err := s.TakeBackColour(ctx, s.As("R08"), id); err != nil {
		t.Fatal(err)
	}
	if a := origin(); !strings.Contains(a.From, "taken back") {
		t.Errorf("of a colour that was taken back: %+v", a)
	}
}

// A change is told beside the colour before it, and several views are joined.
func TestChangesAndSeveralViews(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, record, view := printed(t, s)
	before := s.ID()
	if _, err := s.SaveColour(ctx, s.As("R08"), before, capColour(view, 0)); err != nil {
		t.Fatal(err)
	}
	bruised := capColour(view, 0)
	bruised.Points[0] = card.Pixel{X: 1320, Y: 30} // the ground: another colour
	bruised.Treatment, bruised.Before, bruised.Radius = trug.Bruised, before, 20
	sheet, err := s.SaveColour(ctx, s.As("R08"), s.ID(), bruised)
	if err != nil {
		t.Fatal(err)
	}
	ch := sheet.Colours[1].Change
	if ch == nil || ch.Difference < 30 || !ch.Sure || !strings.Contains(ch.Words, "strongly") || sheet.Colours[1].Label != "Cap colours, bruised" {
		t.Errorf("changed: %+v", sheet.Colours[1])
	}
	if len(sheet.Together) != 0 {
		t.Errorf("one view was joined with itself: %+v", sheet.Together)
	}
	bruised.Before = s.ID()
	if _, err := s.TryColour(ctx, s.As("R08"), bruised); trug.KindOf(err) != trug.Invalid {
		t.Errorf("before a colour that is not there: %v", err)
	}
	p, err := s.TakePhotograph(ctx, s.As("R08"), "side.jpg", bytes.NewReader(apptest.CardJPEG(t, "pocket", 30)))
	if err != nil {
		t.Fatal(err)
	}
	sheet, err = s.SaveRecord(ctx, s.As("R08"), record, app.EditableRecord{Found: trug.When{Date: "2026-10-10"},
		Views: []app.EditableView{{Photograph: sheet.Views[0].Photograph, Kind: trug.Top}, {Photograph: p.ID, Kind: trug.Side}}})
	if err != nil || len(sheet.Views) != 2 {
		t.Fatalf("%+v, %v", sheet.Views, err)
	}
	if sheet, err = s.SaveColour(ctx, s.As("R08"), s.ID(), capColour(sheet.Views[1].ID, 1)); err != nil {
		t.Fatal(err)
	}
	if len(sheet.Together) != 1 || sheet.Together[0].Views != 2 || !sheet.Together[0].Agree || math.Abs(offPaint(sheet.Together[0].Tone.Lab)-offPaint(sheet.Colours[0].Mean.Lab)) > 3 {
		t.Errorf("joined: %+v", sheet.Together)
	}
}

// What can't be measured is refused with the reason; where nothing is wrong, the
// same marks give the same colour.
func TestColoursThatAreRefused(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, record, view := printed(t, s)
	good := capColour(view, 0)
	beside, huge, smell, none, fresh := good, good, good, good, good
	beside.Points = []card.Pixel{{X: -40, Y: 3}}
	huge.Radius = 9000
	smell.Character = "cap_diameter"
	none.Points = nil
	fresh.Before = s.ID()
	for name, c := range map[string]struct {
		g    app.GivenColour
		says string
	}{"beside": {beside, "lies beside the picture"}, "a huge brush": {huge, "can't be used"}, "a size": {smell, "no character that a measured colour answers"},
		"nothing marked": {none, "0 points"}, "before nothing": {fresh, "what was done"}} {
		if _, err := s.TryColour(ctx, s.As("R08"), c.g); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.TryColour(ctx, s.As("R01"), good); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another recorder: %v", err)
	}
	c, err := s.TryColour(ctx, s.As("R08"), good)
	if err != nil || !c.Known || len(c.Palette) != 1 || c.Palette[0].Share != 1 {
		t.Errorf("refused: %+v, %v", c, err)
	}
	if sheet, err := s.App.Record(ctx, s.As("R08"), record); err != nil || len(sheet.Colours) != 0 {
		t.Errorf("a trial was kept: %+v, %v", sheet.Colours, err)
	}
	// An outline of a kept size: only that view's.
	sheet, err := s.SaveSize(ctx, s.As("R08"), s.ID(), capWidth(view, 0))
	if err != nil {
		t.Fatal(err)
	}
	ring := app.GivenColour{View: view, Way: trug.ColourOutline, Points: []card.Pixel{{X: 1000, Y: 200}, {X: 1200, Y: 200}, {X: 1100, Y: 380}}, Size: sheet.Sizes[0].ID}
	if c, err = s.TryColour(ctx, s.As("R08"), ring); err != nil || !c.Known {
		t.Errorf("an outline: %+v, %v", c, err)
	}
	ring.Size = s.ID()
	if _, err = s.TryColour(ctx, s.As("R08"), ring); trug.KindOf(err) != trug.Invalid {
		t.Errorf("the outline of no size: %v", err)
	}
}

// A view that is withheld takes its colours along, the corrected picture too; of a
// cropped one only the part that stays is corrected and measured, and what is
// made bears no metadata.
func TestColoursFollowTheirViews(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	_, record, view := printed(t, s)
	if _, err := s.SaveColour(ctx, s.As("R08"), s.ID(), capColour(view, 0)); err != nil {
		t.Fatal(err)
	}
	look := func(code string) (w, h int, data []byte, err error) {
		f, err := s.CorrectedView(ctx, s.As(code), view)
		if err != nil {
			return 0, 0, nil, err
		}
		defer f.Close()
		if data, err = io.ReadAll(f); err != nil {
			return 0, 0, nil, err
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		return img.Bounds().Dx(), img.Bounds().Dy(), data, err
	}
	w, h, data, err := look("R01")
	if err != nil || w != apptest.CardSceneWidth || h != apptest.CardSceneHeight {
		t.Errorf("corrected: %d x %d, %v", w, h, err)
	}
	for _, mark := range []string{"Exif", "http://ns.adobe.com", "ICC_PROFILE"} {
		if bytes.Contains(data, []byte(mark)) {
			t.Errorf("the corrected picture bears %s", mark)
		}
	}
	if err := s.MarkView(ctx, s.As("D1"), record, view, app.GivenMark{ID: s.ID()}); err != nil {
		t.Fatal(err)
	}
	if sheet, err := s.App.Record(ctx, s.As("D1"), record); err != nil || len(sheet.Colours) != 0 {
		t.Errorf("colours of a withheld view are shown: %+v, %v", sheet.Colours, err)
	}
	if _, _, _, err := look("D1"); trug.KindOf(err) != trug.NotFound {
		t.Errorf("a withheld view corrected: %v", err)
	}
	if err := s.CropView(ctx, s.As("R02"), view, app.GivenCrop{Left: .5, Top: 0, Width: .5, Height: .6}); err != nil {
		t.Fatal(err)
	}
	if w, h, _, err = look("D1"); err != nil || w != 690 || h != 432 {
		t.Errorf("cropped and corrected: %d x %d, %v", w, h, err)
	}
	if _, err := s.TryColour(ctx, s.As("D1"), capColour(view, 1)); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a point in the part cut away: %v", err)
	}
	if sheet, err := s.App.Record(ctx, s.As("D1"), record); err != nil || len(sheet.Colours) != 1 {
		t.Errorf("after cropping: %+v, %v", sheet.Colours, err)
	}
	if _, err := s.TakeOutView(ctx, s.As("R08"), record, view); err != nil {
		t.Fatal(err)
	}
	if sheet, err := s.App.Record(ctx, s.As("R08"), record); err != nil || len(sheet.Colours) != 0 {
		t.Errorf("colours of a view that was taken out: %+v, %v", sheet.Colours, err)
	}
}

// A deposit holds each main colour with its uncertainty and method, and says of
// words that a colour filled in that it did; of a view that was taken out, nothing.
func TestColoursInADeposit(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	b, record, view := printed(t, s)
	if _, err := s.SayCardColours(ctx, s.As("R08"), b.ID, apptest.CardTable(t, "pocket")); err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	if _, err := s.SaveColour(ctx, s.As("R08"), id, capColour(view, 0)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.FillFromColour(ctx, s.As("R08"), id); err != nil {
		t.Fatal(err)
	}
	published := func() (colours []dwca.Color, filled []dwca.Fact) {
		var archive bytes.Buffer
		if _, err := s.WriteArchive(ctx, app.Desk(s.Demo.Season.ID), &archive); err != nil {
			t.Fatal(err)
		}
		d, err := dwca.Read(bytes.NewReader(archive.Bytes()), int64(archive.Len()), dwca.DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range d.Finds {
			colours = append(colours, f.Colours...)
			for _, x := range f.Facts {
				if x.Measured && len(x.States) > 0 {
					filled = append(filled, x)
				}
			}
		}
		return colours, filled
	}
	got, filled := published()
	if len(got) != 1 || got[0].Character != "cap_color" || offPaint(got[0].Lab) > 1.5 || got[0].GiveOrTake <= 0 || got[0].Covariance[0] <= 0 || !strings.Contains(got[0].Method, "patches of the card") {
		t.Errorf("published %+v", got)
	}
	if len(filled) != 1 || filled[0].Character != "cap_color" {
		t.Errorf("filled in as %+v", filled)
	}
	if _, err := s.TakeOutView(ctx, s.As("R08"), record, view); err != nil {
		t.Fatal(err)
	}
	if got, filled = published(); len(got)+len(filled) != 0 {
		t.Errorf("of a view that was taken out: %+v %+v", got, filled)
	}
}

// The Record book finds by a colour and how near, by the name of a block at each
// level, and by part; what can't be seen is found by nobody.
func TestBookFindsByColour(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	b, record, view := printed(t, s)
	if _, err := s.SayCardColours(ctx, s.As("R08"), b.ID, apptest.CardTable(t, "pocket")); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SaveColour(ctx, s.As("R08"), s.ID(), capColour(view, 0)); err != nil {
		t.Fatal(err)
	}
	look := func(code string, q app.BookQuery) app.BookPage {
		t.Helper()
		page, err := s.Book(ctx, s.As(code), q)
		if err != nil {
			t.Fatal(err)
		}
		return page
	}
	near := app.BookQuery{Colour: "#be3c28", Within: 3, Sort: "colour"} // 190, 60, 40
	page := look("R01", near)
	if page.Total != 1 || page.Lines[0].ID != record || page.Lines[0].Off > 1.5 || len(page.Lines[0].Tones) != 1 || page.Lines[0].Tones[0].Name == "" {
		t.Errorf("by its colour: %+v", page.Lines)
	}
	for _, q := range []app.BookQuery{{ColourName: "reddish orange"}, {ColourName: "Orange"}, {ColourOf: "cap_color"}, {Colour: "45,50,40", Within: 15, ColourName: "orange", ColourOf: "cap_color"}} {
		if got := look("D1", q); got.Total != 1 {
			t.Errorf("%+v finds %d; names %q", q, got.Total, got.ColourNames)
		}
	}
	for _, q := range []app.BookQuery{{Colour: "#3c28be", Within: 20}, {ColourName: "blue"}, {ColourOf: "stem_color"}, {Colour: "#be3c28", Within: 3, ColourOf: "gill_color"}} {
		if got := look("D1", q); got.Total != 0 {
			t.Errorf("%+v finds %d", q, got.Total)
		}
	}
	for _, q := range []app.BookQuery{{Colour: "red"}, {Colour: "1,2"}, {Colour: "#be3c28", Within: -3}, {ColourName: "mauvish"}, {Colour: "NaN,0,0"}} {
		if _, err := s.Book(ctx, s.As("D1"), q); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%+v: %v", q, err)
		}
	}
	if err := s.MarkView(ctx, s.As("D1"), record, view, app.GivenMark{ID: s.ID()}); err != nil {
		t.Fatal(err)
	}
	if page = look("D1", near); page.Total != 0 || len(page.ColourNames) != 0 {
		t.Errorf("a withheld view's colour is found: %+v", page)
	}
}
