package advice

import (
	"slices"
	"strings"
	"testing"

	"trug/science/describe"
	"trug/science/view"
)

// well is a view with which nothing is wrong.
func well() view.Seen {
	return view.Seen{Width: 4000, Height: 3000, Card: &view.Card{Layout: "pocket", BlurPx: 1.2},
		Subject:   view.Outlined{Found: true, Sure: .95, WidthPx: 1500},
		Sharpness: view.Sharpness{Known: true, BlurPx: 1.1, Pairs: 466, Form: true, Detail: true}}
}

func rules(list []Advice) (out []Rule) {
	for _, a := range list {
		out = append(out, a.Rule)
	}
	return out
}

func TestRules(t *testing.T) {
	soft := func(s *view.Seen) {
		s.Sharpness = view.Sharpness{Known: true, BlurPx: 12, AlongPx: 12, Pairs: 42}
		s.Card.BlurPx = 11
	}
	for _, c := range []struct {
		name   string
		kind   Kind
		change func(*view.Seen)
		want   []Rule
	}{
		{"all is well", Top, func(*view.Seen) {}, nil},
		{"blurred", Underneath, soft, []Rule{Blurred}},
		{"the hand moved", Underneath, func(s *view.Seen) { soft(s); s.Sharpness.Moved = true }, []Rule{Moved}},
		{"the focus lies behind", Side, func(s *view.Seen) { soft(s); s.Sharpness.BehindPx = 2 }, []Rule{Focus}},
		{"too far", Underneath, func(s *view.Seen) {
			s.Subject.WidthPx, s.Sharpness = 180, view.Sharpness{Known: true, BlurPx: 1, Pairs: 61, Form: true}
		}, []Rule{Far}},
		{"sharp enough for its form", Top, func(s *view.Seen) { s.Sharpness.Detail = false }, nil},
		{"surroundings are not judged by a subject", Surroundings, func(s *view.Seen) { soft(s); s.Card = nil }, nil},
		{"too dark", Side, func(s *view.Seen) { s.Exposure = view.Exposure{Darks: .5, TooDark: true} }, []Rule{Dark}},
		{"too light", Side, func(s *view.Seen) { s.Exposure = view.Exposure{Lights: .2, TooLight: true} }, []Rule{Light}},
		{"cut off", Top, func(s *view.Seen) { s.Subject.CutOff = true }, []Rule{CutOff}},
		{"the card lies higher", Top, func(s *view.Seen) { s.Card.BlurPx = 6 }, []Rule{CardAway}},
		{"no card from above", Top, func(s *view.Seen) { s.Card, s.CardSaid = nil, []Sentence{with("No card was found.")} }, []Rule{CardMissing}},
		{"no card from the side", Side, func(s *view.Seen) { s.Card, s.CardSaid = nil, []Sentence{with("No card was found.")} }, nil},
		{"a screenshot", Side, func(s *view.Seen) { s.Width, s.Height = 800, 600 }, []Rule{Small}},
		{"nothing to be told", Side, func(s *view.Seen) { s.Subject.Found, s.Sharpness = false, view.Sharpness{} }, []Rule{NotSeen}},
	} {
		s := well()
		c.change(&s)
		got := Of(s, c.kind)
		if !slices.Equal(rules(got), c.want) {
			t.Errorf("%s: %v, want %v", c.name, rules(got), c.want)
		}
		for _, a := range got {
			if a.Text == "" || a.Why == "" || !strings.HasSuffix(a.Text, ".") || !strings.HasSuffix(a.Why, ".") {
				t.Errorf("%s: no sentence with its reason: %+v", c.name, a)
			}
		}
	}
	s := well()
	soft(&s)
	// A steadier hand is asked for only where the hand was the cause.
	if got := Of(s, Underneath)[0]; got.Text != "Underside is blurred: tap on the fungus on the screen, wait a moment, and take it again; step back a little if it stays so." || !got.Again {
		t.Errorf("%+v", got)
	}
	s.Sharpness.Moved = true
	if got := Of(s, Underneath)[0]; got.Text != "Underside is blurred: take it again, hold the phone with both hands." || !got.Again {
		t.Errorf("%+v", got)
	}
}

func TestNextGoesByTheGroup(t *testing.T) {
	kinds := func(t Told) (out []Kind) {
		for _, a := range Next(t, 10) {
			out = append(out, a.View)
		}
		return out
	}
	if got := kinds(Told{}); !slices.Equal(got, []Kind{Top, Side, Underneath, Surroundings}) {
		t.Errorf("of an unknown find %v", got)
	}
	if got := kinds(Told{Form: "bracket", Taken: []Kind{Top}}); !slices.Equal(got, []Kind{Underneath, Cut, Surroundings}) {
		t.Errorf("of a bracket %v", got)
	}
	if got := Next(Told{Form: "gilled"}, 2); len(got) != 2 {
		t.Errorf("two were asked for: %v", got)
	}
	ring := Next(Told{Form: "gilled", Ring: true}, 1)[0]
	if ring.View != Base || !strings.HasPrefix(ring.Why, "A ringed stem: the base matters") {
		t.Errorf("%+v", ring)
	}
}

// forms are those of the vocabulary.
func forms() (out []string) {
	c, _ := describe.Standing().Character("form")
	for _, s := range c.States {
		out = append(out, s.Name)
	}
	return out
}

// Nobody is asked to pick, cut or dig where that is not allowed.
func TestNothingIsAskedThatMayNotBeDone(t *testing.T) {
	for _, form := range forms() {
		for _, a := range Next(Told{Form: form, Ring: true}, 20) {
			for _, word := range []string{"lifted", "cuts", "over night", "dug"} {
				if strings.Contains(a.Text, word) {
					t.Errorf("%s: %q without leave", form, a.Text)
				}
			}
		}
	}
	may := Next(Told{Form: "gilled", Ring: true, Leave: Leave{Dig: true}}, 1)[0]
	if !strings.Contains(may.Text, "lifted whole") {
		t.Errorf("with leave to dig: %q", may.Text)
	}
}
