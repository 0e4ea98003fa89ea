package advice

import (
	"strconv"

	"trug/science/groups"
	"trug/science/sharpness"
	"trug/science/view"
)

// Rule names what a sentence comes from.
type Rule string

// The rules.
const (
	Small       Rule = "small-picture"
	Dark        Rule = "too-dark"
	Light       Rule = "too-light"
	Moved       Rule = "hand-moved"
	Focus       Rule = "focus-elsewhere"
	Blurred     Rule = "blurred"
	Far         Rule = "too-far"
	CutOff      Rule = "cut-off"
	NotSeen     Rule = "subject-not-told"
	CardAway    Rule = "card-at-another-height"
	CardMissing Rule = "no-card"
	CardSeen    Rule = "card"
	Lit         Rule = "light"
	More        Rule = "another-view"
)

// Advice is a set sentence with its reason.
type Advice struct {
	Rule Rule `json:"rule"`
	// Text says what to do; Why from which figure that follows.
	Text string `json:"text"`
	Why  string `json:"why"`
	// Say and Because are the same by their words and values, for screens in
	// other languages.
	Say     Sentence   `json:"say"`
	Because []Sentence `json:"because"`
	// Again says that the view is better taken again; otherwise it is a remark.
	Again bool `json:"again"`
	// View is the kind of view that is asked for, where another one is.
	View Kind `json:"view,omitempty"`
}

// Kind is what a view shows.
type Kind = groups.Kind

// The kinds of view that are asked for.
const (
	Top          = groups.Top
	Side         = groups.Side
	Underneath   = groups.Underneath
	Surroundings = groups.Surroundings
	Cut          = groups.Cut
	Base         = groups.Base
	SporePrint   = groups.SporePrint
	CloseUp      = groups.CloseUp
)

var titles = map[Kind]string{Top: "Top", Side: "Side", Underneath: "Underside", Surroundings: "Surroundings", Cut: "Cut", Base: "Base", SporePrint: "Spore print", CloseUp: "Close-up"}

// purposeOf is how fine a view must show its subject.
func purposeOf(k Kind) sharpness.Purpose {
	switch k {
	case Underneath, Cut, Base, CloseUp:
		return sharpness.Detail
	}
	return sharpness.Form
}

// wantsCard says which views are to show the card.
func wantsCard(k Kind) bool { return k == Top || k == Underneath || k == Cut || k == CloseUp }

// leastSide is the longer side below which a picture was scaled down by
// somebody on the way; a phone's has three times as much.
const leastSide = 1200

// Of tells what can be done better about a view, the weightiest first; nothing
// when all is well.
func Of(s view.Seen, kind Kind) []Advice {
	out := []Advice{}
	title := titles[kind]
	if title == "" {
		title = "This view"
	}
	if max(s.Width, s.Height) < leastSide {
		out = append(out, tells(Small, false, with(saysSmall), with(whySmall, "width", strconv.Itoa(s.Width), "height", strconv.Itoa(s.Height))))
	}
	switch {
	case s.Exposure.TooDark:
		out = append(out, tells(Dark, true, with(saysDark, "view", title), with(whyDark, "share", whole(100*s.Exposure.Darks))))
	case s.Exposure.TooLight:
		out = append(out, tells(Light, true, with(saysLight, "view", title), with(whyLight, "share", whole(100*s.Exposure.Lights))))
	}
	if kind != Surroundings {
		out = append(out, subject(s, kind, title)...)
	}
	if wantsCard(kind) {
		out = append(out, onCard(s)...)
	}
	for _, says := range s.LightSaid {
		out = append(out, tells(Lit, false, says, with(whyLit)))
	}
	return out
}

// tells is advice of its sentences.
func tells(r Rule, again bool, say Sentence, because ...Sentence) Advice {
	return Advice{Rule: r, Text: say.String(), Why: words(because), Say: say, Because: because, Again: again}
}

// subject says what is wrong with how the fungus is seen.
func subject(s view.Seen, kind Kind, title string) (out []Advice) {
	if s.Subject.CutOff {
		out = append(out, tells(CutOff, true, with(saysCutOff, "view", title), with(whyCutOff)))
	}
	sh, purpose := s.Sharpness, purposeOf(kind)
	enough := sh.Form
	if purpose == sharpness.Detail {
		enough = sh.Detail
	}
	if !sh.Known || enough {
		if !s.Subject.Found && !s.Subject.CutOff {
			out = append(out, tells(NotSeen, false, with(saysNotSeen), with(whyNotSeen)))
		}
		return out
	}
	wanted := whole(float64(purpose))
	why := with(whyBlurred, "blur", pixels(sh.BlurPx), "lines", whole(sh.Pairs), "wanted", wanted)
	switch {
	case sh.Moved:
		return append(out, tells(Moved, true, with(saysBlurred, "view", title), with(whyMoved, "blur", pixels(sh.AlongPx)), why))
	case s.Subject.Found && sharpness.Most(s.Subject.WidthPx, purpose) == 0:
		return append(out, tells(Far, true, with(saysFar, "view", title), with(whyFar, "width", whole(s.Subject.WidthPx), "lines", whole(s.Subject.WidthPx/2), "wanted", wanted)))
	case sh.BehindPx > 0 && sh.BehindPx < .6*sh.BlurPx:
		return append(out, tells(Focus, true, with(saysFocus, "view", title), with(whyFocus, "blur", pixels(sh.BehindPx)), why))
	}
	// No direction is smeared more than others: a steadier hand would not mend it.
	return append(out, tells(Blurred, true, with(saysSoft, "view", title), why))
}

// onCard says what is wrong with the card.
func onCard(s view.Seen) (out []Advice) {
	if s.Card == nil {
		for _, says := range s.CardSaid {
			out = append(out, tells(CardMissing, false, says, with(whyNoCard)))
		}
		return out
	}
	// Card and fungus lie in different depths where one is sharp and the other not.
	a, b := s.Card.BlurPx, s.Sharpness.BlurPx
	if s.Sharpness.Known && s.Subject.Found && a > 0 && max(a, b) > 2.5 && max(a, b) > 2.2*min(a, b) {
		out = append(out, tells(CardAway, false, with(saysCardAway), with(whyCardAway, "card", pixels(a), "fungus", pixels(b))))
	}
	for _, says := range s.CardSaid {
		out = append(out, tells(CardSeen, false, says, with(whyCard)))
	}
	return out
}
