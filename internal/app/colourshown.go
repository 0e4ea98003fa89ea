package app

import (
	"cmp"
	"math"
	"slices"

	"trug"
	"trug/science/card"
	"trug/science/colour"
	"trug/science/said"
	"trug/science/truecolour"
)

// ShownColour is a colour that was measured in a view.
type ShownColour struct {
	ID        trug.ID        `json:"id"`
	View      trug.ID        `json:"view"`
	Way       trug.ColourWay `json:"way"`
	Points    []card.Pixel   `json:"points"`
	Radius    float64        `json:"radius,omitempty"`
	Size      trug.ID        `json:"size,omitempty"`
	Character string         `json:"character"`
	// Label says in plain words what is of that colour: "Cap colours".
	Label     string         `json:"label"`
	Treatment trug.Treatment `json:"treatment"`
	Before    trug.ID        `json:"before,omitempty"`
	// Known is false where the light allows no number: then there is advice alone.
	Known bool `json:"known"`
	// Mean is the colour of the whole place, Palette its main colours.
	Mean    ShownTone   `json:"mean"`
	Palette []ShownTone `json:"palette"`
	// Highlights and Edges are the shares, 0 to 1, that were left out.
	Highlights float64       `json:"highlights"`
	Edges      float64       `json:"edges"`
	Advice     []ShownAdvice `json:"advice"`
	// Corrected says how, and what that rests on.
	Corrected string `json:"corrected"`
	GreysOnly bool   `json:"greysOnly"`
	// Change is set where a colour before the treatment is known.
	Change *ShownChange `json:"change,omitempty"`
	// Old says why it would come out otherwise if it were measured now; empty
	// where it would not.
	Old string `json:"old"`
	By  string `json:"by"`
	May bool   `json:"may" doc:"The viewer may change it or take it back"`
	// Fills says that the viewer may fill the description from it.
	Fills bool        `json:"fills"`
	Said  said.Fields `json:"said,omitempty"`
}

// ShownTone is one colour.
type ShownTone struct {
	// Swatch is an sRGB colour, "#a16d3f"; it never stands without Name.
	Swatch      string `json:"swatch"`
	OutOfScreen bool   `json:"outOfScreen,omitempty" doc:"Screens of sRGB can't show it; the nearest stands there"`
	// Name is that of the blocks of the ISCC-NBS method in question.
	Name string `json:"name"`
	// Lab is L*, a*, b* relative to D65, LabD50 to the white of print; 2 degrees.
	Lab        [3]float64 `json:"lab"`
	LabD50     [3]float64 `json:"labD50"`
	GiveOrTake float64    `json:"giveOrTake" doc:"CIEDE2000 that 95 % of it stays within"`
	// Sure says that in words.
	Sure    string `json:"sure"`
	Munsell string `json:"munsell"`
	// Ridgway is the nearest name of 1912, RidgwayOff how far off (CIEDE2000).
	Ridgway    string      `json:"ridgway"`
	RidgwayOff float64     `json:"ridgwayOff"`
	Share      float64     `json:"share" doc:"Part of the place, 0 to 1"`
	Where      string      `json:"where" doc:"Where on it: rim, middle zone, centre"`
	Clipped    bool        `json:"clipped,omitempty" doc:"The true colour lies farther out than told"`
	Said       said.Fields `json:"said,omitempty"`
}

// ShownAdvice is what the light asks for.
type ShownAdvice struct {
	Condition string      `json:"condition"`
	Text      string      `json:"text"`
	Stops     bool        `json:"stops"`
	Said      said.Fields `json:"said,omitempty"`
}

// ShownChange is what a treatment did to a colour.
type ShownChange struct {
	Difference float64 `json:"difference" doc:"CIEDE2000"`
	GiveOrTake float64 `json:"giveOrTake"`
	Sure       bool    `json:"sure"`
	// Words say it: "clearly darker and bluer".
	Words string `json:"words"`
	// From is the colour before.
	From ShownTone `json:"from"`
}

// ShownTogether is a colour joined from several views.
type ShownTogether struct {
	Character string    `json:"character"`
	Label     string    `json:"label"`
	Views     int       `json:"views"`
	Agree     bool      `json:"agree" doc:"The views differ no more than their uncertainties let expect"`
	Tone      ShownTone `json:"tone"`
}

// coloursFor returns the colours that stand, of views that the viewer sees: a
// view that was taken out or is withheld takes its colours along.
func (l *ledger) coloursFor(v Viewer, f *find) []trug.Colour {
	if len(f.colours) == 0 {
		return nil
	}
	views := l.viewsFor(v, f)
	return slices.DeleteFunc(slices.Clone(f.colours), func(c trug.Colour) bool {
		return !c.Withdrawn.IsZero() || !slices.ContainsFunc(views, func(w trug.View) bool { return w.ID == c.ViewID })
	})
}

func (l *ledger) shownColours(v Viewer, f *find) []ShownColour {
	out := []ShownColour{}
	for _, c := range l.coloursFor(v, f) {
		out = append(out, l.shownColour(v, c))
	}
	return out
}

func (l *ledger) shownColour(v Viewer, c trug.Colour) ShownColour {
	s := ShownColour{ID: c.ID, View: c.ViewID, Way: c.Way, Points: c.Points, Radius: c.Radius, Size: c.SizeID, Character: c.Character, Label: colourLabel(c),
		Treatment: c.Treatment, Before: c.Before, Known: len(c.Palette) > 0, Palette: []ShownTone{}, Highlights: c.Highlights, Edges: c.Edges,
		Advice: []ShownAdvice{}, Corrected: correctedWords(c.Correction).String(), GreysOnly: c.Correction.GreysOnly, By: l.person(c.By)}
	for _, a := range c.Advice {
		s.Advice = append(s.Advice, ShownAdvice{string(a.Condition), a.Text, a.Stops, said.Fields{"text": said.As(said.Words(a.Text))}})
	}
	s.Said.Put("corrected", correctedWords(c.Correction))
	s.Said.Put("label", colourSaid(c))
	f := l.finds[c.RecordID]
	if f == nil {
		return s
	}
	s.May = l.mayChangeColour(v, f, c)
	if !s.Known {
		return s
	}
	s.Mean = shownTone(c.Mean)
	for _, t := range c.Palette {
		s.Palette = append(s.Palette, shownTone(t))
	}
	s.Fills = c.Character != "" && c.Treatment == trug.Fresh && (v.is(f.RecorderID) || v.has(trug.Coordinator))
	s.Change = l.changeOf(v, f, c)
	old := l.oldColour(f, c)
	s.Old = string(old)
	s.Said.Put("old", said.As(old))
	return s
}

// oldColour says why a colour would come out otherwise now.
func (l *ledger) oldColour(f *find, c trug.Colour) said.Words {
	found, ok := l.cards[f.photographOf(c.ViewID)]
	if !ok || found.Picture != c.Picture {
		return ""
	}
	b, _ := l.batchOf(found)
	switch {
	case tableOf(b) != c.Table:
		return "Since then the colours of this printing of the card were entered or changed: measure it again."
	case c.ColourRevision != truecolour.Revision || c.CardRevision != found.Revision:
		return "The program measures colours otherwise since then: measure it again."
	}
	return ""
}

func shownTone(t truecolour.Told) ShownTone {
	sure := sureWords(t.GiveOrTake)
	return ShownTone{Swatch: t.Swatch, OutOfScreen: t.OutOfScreen, Name: t.Name, Lab: t.D65, LabD50: t.D50, GiveOrTake: t.GiveOrTake, Sure: string(sure), Said: said.Fields{"sure": said.As(sure)},
		Munsell: t.Munsell, Ridgway: t.Ridgway, RidgwayOff: t.RidgwayDistance, Share: t.Share, Where: t.Where(), Clipped: t.Clipped}
}

// sureWords says an uncertainty in CIEDE2000 plainly. The lines between the words
// are those of colour.Change: common practice, no source.
func sureWords(u float64) said.Words {
	switch {
	case u < 2:
		return "sure to within what an eye just tells apart side by side"
	case u < 5:
		return "give or take a small step, seen when both lie side by side"
	case u < 12:
		return "give or take a plain step: it may look lighter, darker or of another tint"
	default:
		return "very unsure: it may be another colour altogether"
	}
}

// correctedWords says how a colour was corrected.
func correctedWords(c trug.ColourCorrection) said.List {
	if c.GreysOnly {
		return said.After(said.As("Corrected by the card's greys alone, since nobody has measured the colours of this printing: light, contrast and white are put right, tints only roughly."))
	}
	s := said.Of("Corrected by %d patches of the card (chiefly: %s); each, left out in turn, comes out within %.1f of what it is.", c.Patches, c.Model, c.LeaveOneOut)
	if c.Rejected+c.Clipped > 0 {
		return said.After(s, said.Of("%d more could not be used for dirt, shine, or being too light or dark.", c.Rejected+c.Clipped))
	}
	return said.After(s)
}

func adviceWords(list []truecolour.Advice) said.List {
	var stops []any
	for _, a := range list {
		if a.Stops {
			stops = append(stops, said.As(said.Words(a.Text)))
		}
	}
	return said.After(stops...)
}

// colourLabel says what is of that colour.
func colourLabel(c trug.Colour) string { return colourSaid(c).String() }

func colourSaid(c trug.Colour) said.Sentence {
	label := said.As(said.Words(cmp.Or(c.Label, "Colour")))
	switch c.Treatment {
	case trug.Fresh:
		return label
	case trug.Bruised:
		return said.As("{label}, bruised", "label", label)
	case trug.Dried:
		return said.As("{label}, dried", "label", label)
	}
	return said.As("{label}, after {treatment}", "label", label, "treatment", said.As(said.Words(c.Treatment)))
}

func labOf(t truecolour.Told) colour.Lab { return colour.Lab{L: t.D65[0], A: t.D65[1], B: t.D65[2]} }

// changeOf compares a colour with what it was before the treatment.
func (l *ledger) changeOf(v Viewer, f *find, c trug.Colour) *ShownChange {
	if c.Before == "" {
		return nil
	}
	for _, was := range l.coloursFor(v, f) {
		if was.ID != c.Before {
			continue
		}
		ch := colour.ChangeBetween(labOf(was.Mean), labOf(c.Mean), was.Mean.Covariance, c.Mean.Covariance)
		return &ShownChange{ch.Difference, ch.GiveOrTake, ch.Sure, ch.Words, shownTone(was.Mean)}
	}
	return nil
}

// togetherFor joins the colours of one character that several views tell.
func (l *ledger) togetherFor(v Viewer, f *find) []ShownTogether {
	out := []ShownTogether{}
	of, seen, order := map[string][]trug.Colour{}, map[string]map[trug.ID]bool{}, []string{}
	for _, c := range l.coloursFor(v, f) {
		if c.Character == "" || c.Treatment != trug.Fresh {
			continue
		}
		if seen[c.Character] == nil {
			seen[c.Character] = map[trug.ID]bool{}
			order = append(order, c.Character)
		}
		of[c.Character], seen[c.Character][c.ViewID] = append(of[c.Character], c), true
	}
	for _, character := range order {
		if len(seen[character]) < 2 {
			continue
		}
		if joint, ok := together(of[character]); ok {
			joint.Character, joint.Label, joint.Views = character, of[character][0].Label, len(seen[character])
			out = append(out, joint)
		}
	}
	return out
}

func together(list []trug.Colour) (ShownTogether, bool) {
	var views []truecolour.Seen
	for _, c := range list {
		views = append(views, truecolour.Seen{Lab: labOf(c.Mean), Spread: c.Mean.Covariance})
	}
	joint, err := truecolour.Combine(views)
	if err != nil || math.IsNaN(joint.Lab.L) {
		return ShownTogether{}, false
	}
	tone := shownTone(truecolour.Main{Lab: joint.Lab, Spread: joint.Spread, Share: 1, Zones: [3]float64{1, 1, 1}}.Tell())
	return ShownTogether{Agree: joint.Agree, Tone: tone}, true
}
