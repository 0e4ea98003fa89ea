package advice

import (
	"fmt"
	"math"

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
	// Again says that the view is better taken again; otherwise it is a remark.
	Again bool `json:"again"`
	// View is the kind of view that is asked for, where another one is.
	View Kind `json:"view,omitempty"`
}

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
	add := func(r Rule, again bool, text, why string) {
		out = append(out, Advice{Rule: r, Text: text, Why: why, Again: again})
	}
	title := titles[kind]
	if title == "" {
		title = "This view"
	}
	if max(s.Width, s.Height) < leastSide {
		add(Small, false, "This picture is small: hand in the photograph as the camera took it, not a screenshot or one sent through a messenger.",
			fmt.Sprintf("It has %d by %d pixels.", s.Width, s.Height))
	}
	switch {
	case s.Exposure.TooDark:
		add(Dark, true, title+" is too dark: take it again with more light on it, and hold the phone still.",
			fmt.Sprintf("%.0f %% of the fungus is black in the picture.", 100*s.Exposure.Darks))
	case s.Exposure.TooLight:
		add(Light, true, title+" is too light: tap on the lightest part of the fungus on the screen, and take it again.",
			fmt.Sprintf("%.0f %% of the fungus is blown out to white.", 100*s.Exposure.Lights))
	}
	if kind != Surroundings {
		out = append(out, subject(s, kind, title)...)
	}
	if wantsCard(kind) {
		out = append(out, onCard(s)...)
	}
	for _, text := range s.LightSays {
		add(Lit, false, text, "Told from the greys of the card.")
	}
	return out
}

// subject says what is wrong with how the fungus is seen.
func subject(s view.Seen, kind Kind, title string) (out []Advice) {
	add := func(r Rule, again bool, text, why string) {
		out = append(out, Advice{Rule: r, Text: text, Why: why, Again: again})
	}
	if s.Subject.CutOff {
		add(CutOff, true, title+" runs out of the picture: step back a little, so that all of it is in.", "Its outline reaches the edge of the picture.")
	}
	sh, purpose := s.Sharpness, purposeOf(kind)
	enough := sh.Form
	if purpose == sharpness.Detail {
		enough = sh.Detail
	}
	if !sh.Known || enough {
		if !s.Subject.Found && !s.Subject.CutOff {
			add(NotSeen, false, "The fungus could not be told from what lies round it: look whether it is in the middle and sharp.", "No outline stands out in the middle of the picture.")
		}
		return out
	}
	why := fmt.Sprintf("Its edges are smeared by about %s; so %.0f lines can be told apart across it, and %.0f are wanted.", pixels(sh.BlurPx), sh.Pairs, float64(purpose))
	switch {
	case sh.Moved:
		add(Moved, true, title+" is blurred: take it again, hold the phone with both hands.", fmt.Sprintf("The hand moved: along one direction edges are smeared by about %s. %s", pixels(sh.AlongPx), why))
	case s.Subject.Found && sharpness.Most(s.Subject.WidthPx, purpose) == 0:
		add(Far, true, title+" is too far away: come closer, until the fungus fills half of the picture.",
			fmt.Sprintf("It is %.0f pixels wide, which shows %.0f lines at the most; %.0f are wanted.", s.Subject.WidthPx, s.Subject.WidthPx/2, float64(purpose)))
	case sh.BehindPx > 0 && sh.BehindPx < .6*sh.BlurPx:
		add(Focus, true, title+" is out of focus: tap on the fungus on the screen, wait a moment, and take it again.",
			fmt.Sprintf("What lies round it is sharper (%s). %s", pixels(sh.BehindPx), why))
	default:
		add(Blurred, true, title+" is blurred: take it again, hold the phone with both hands.", why)
	}
	return out
}

// onCard says what is wrong with the card.
func onCard(s view.Seen) (out []Advice) {
	if s.Card == nil {
		for _, text := range s.CardSays {
			out = append(out, Advice{Rule: CardMissing, Text: text, Why: "Without the card a photograph tells no size and no true colour."})
		}
		return out
	}
	// Card and fungus lie in different depths where one is sharp and the other not.
	a, b := s.Card.BlurPx, s.Sharpness.BlurPx
	if s.Sharpness.Known && s.Subject.Found && a > 0 && max(a, b) > 2.5 && max(a, b) > 2.2*min(a, b) {
		text, why := "The card lies above or below the cap: lay it level with the rim.", "The card is seen with %s of blur and the fungus with %s: they lie at different heights."
		out = append(out, Advice{Rule: CardAway, Text: text, Why: fmt.Sprintf(why, pixels(a), pixels(b))})
	}
	for _, text := range s.CardSays {
		out = append(out, Advice{Rule: CardSeen, Text: text, Why: "Seen on the card itself."})
	}
	return out
}

func pixels(v float64) string {
	if v < 9.95 {
		return fmt.Sprintf("%.1f pixels", v)
	}
	return fmt.Sprintf("%.0f pixels", math.Round(v))
}
