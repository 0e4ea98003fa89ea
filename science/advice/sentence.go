package advice

import (
	"fmt"
	"math"
	"strings"

	"trug/science/groups"
	"trug/science/said"
)

// Sentence is a set sentence; "view" among its values is the title of the view
// that was looked at.
type Sentence = said.Sentence

// words writes sentences one behind another.
func words(list []Sentence) string {
	var out []string
	for _, s := range list {
		out = append(out, s.String())
	}
	return strings.Join(out, " ")
}

// with is a sentence with one value after the other name.
func with(pattern string, pairs ...string) Sentence {
	values := make([]any, len(pairs))
	for i, p := range pairs {
		values[i] = p
	}
	return said.As(said.Words(pattern), values...)
}

// whole writes a figure without a fraction, pixels one with a tenth below ten.
func whole(v float64) string { return fmt.Sprintf("%.0f", v) }

func pixels(v float64) string {
	if v < 9.95 {
		return fmt.Sprintf("%.1f", v)
	}
	return whole(math.Round(v))
}

// What is said of a view.
const (
	saysSmall    = "This picture is small: hand in the photograph as the camera took it, not a screenshot or one sent through a messenger."
	saysDark     = "{view} is too dark: take it again with more light on it, and hold the phone still."
	saysLight    = "{view} is too light: tap on the lightest part of the fungus on the screen, and take it again."
	saysCutOff   = "{view} runs out of the picture: step back a little, so that all of it is in."
	saysNotSeen  = "The fungus could not be told from what lies round it: look whether it is in the middle and sharp."
	saysBlurred  = "{view} is blurred: take it again, hold the phone with both hands."
	saysSoft     = "{view} is blurred: tap on the fungus on the screen, wait a moment, and take it again; step back a little if it stays so."
	saysFar      = "{view} is too far away: come closer, until the fungus fills half of the picture."
	saysFocus    = "{view} is out of focus: tap on the fungus on the screen, wait a moment, and take it again."
	saysCardAway = "The card lies above or below the cap: lay it level with the rim."
)

// Why it is said.
const (
	whySmall    = "It has {width} by {height} pixels."
	whyDark     = "{share} % of the fungus is black in the picture."
	whyLight    = "{share} % of the fungus is blown out to white."
	whyLit      = "Told from the greys of the card."
	whyCutOff   = "Its outline reaches the edge of the picture."
	whyNotSeen  = "No outline stands out in the middle of the picture."
	whyBlurred  = "Its edges are smeared by about {blur} pixels; so {lines} lines can be told apart across it, and {wanted} are wanted."
	whyMoved    = "The hand moved: along one direction edges are smeared by about {blur} pixels."
	whyFar      = "It is {width} pixels wide, which shows {lines} lines at the most; {wanted} are wanted."
	whyFocus    = "What lies round it is sharper ({blur} pixels)."
	whyNoCard   = "Without the card a photograph tells no size and no true colour."
	whyCardAway = "The card is seen with {card} pixels of blur and the fungus with {fungus}: they lie at different heights."
	whyCard     = "Seen on the card itself."
	whyRing     = "A ringed stem: the base matters. What wears a ring may stand in a bag that only its foot shows."
	whyFour     = "These four views are asked of every find."
	whyGroup    = "This group is told apart by it: {group}."
)

// Sentences are the words of all sentences of this package, in no given order.
// What is said of card and light comes from the packages that look at them.
func Sentences() []string {
	out := []string{saysSmall, saysDark, saysLight, saysCutOff, saysNotSeen, saysBlurred, saysSoft, saysFar, saysFocus, saysCardAway,
		whySmall, whyDark, whyLight, whyLit, whyCutOff, whyNotSeen, whyBlurred, whyMoved, whyFar, whyFocus, whyNoCard, whyCardAway, whyCard, whyRing, whyFour, whyGroup}
	for _, name := range groups.Names() {
		out = append(out, lower(name))
	}
	for _, s := range asks {
		out = append(out, s)
	}
	for _, d := range does {
		out = append(out, d.does, d.looks)
	}
	return out
}
