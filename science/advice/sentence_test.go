package advice

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"trug/science/view"
)

// The screens' catalogues are held complete against a file with all sentences:
// write it anew with WRITE=1 after a change of words.
func TestSentencesAreWrittenDown(t *testing.T) {
	const file = "../../internal/web/ui/src/words/from-go/advice.json"
	all := Sentences()
	slices.Sort(all)
	all = slices.Compact(all)
	text, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	text = append(text, '\n')
	if os.Getenv("WRITE") != "" {
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(file); err != nil || string(kept) != string(text) {
		t.Errorf("%s does not hold the sentences of this package: run WRITE=1 go test ./science/advice, and translate what is new: %v", file, err)
	}
}

// Whatever is said is one of the sentences, all of its names have values, and
// the English text is what it says.
func TestAdviceIsMadeOfSentences(t *testing.T) {
	all := Sentences()
	var list []Advice
	for _, kind := range []Kind{Top, Side, Underneath, Cut, "micrograph"} {
		for _, s := range []view.Seen{
			{Width: 800, Height: 600, Exposure: view.Exposure{Darks: .5, TooDark: true}, Subject: view.Outlined{CutOff: true}},
			{Width: 4000, Height: 3000, Exposure: view.Exposure{Lights: .2, TooLight: true}},
			{Width: 4000, Height: 3000, Card: &view.Card{BlurPx: 11}, Subject: view.Outlined{Found: true, WidthPx: 1500}, Sharpness: view.Sharpness{Known: true, BlurPx: 2, BehindPx: 1, Pairs: 30}},
			{Width: 4000, Height: 3000, Subject: view.Outlined{Found: true, WidthPx: 1500}, Sharpness: view.Sharpness{Known: true, BlurPx: 12.34, AlongPx: 12, Moved: true, Pairs: 30}},
			{Width: 4000, Height: 3000, Subject: view.Outlined{Found: true, WidthPx: 40}, Sharpness: view.Sharpness{Known: true, BlurPx: 1, Pairs: 30}},
			{Width: 4000, Height: 3000, Subject: view.Outlined{Found: true, WidthPx: 1500}, Sharpness: view.Sharpness{Known: true, BlurPx: 12, Pairs: 30}},
		} {
			list = append(list, Of(s, kind)...)
		}
	}
	list = append(list, Next(Told{Ring: true}, 9)...)
	list = append(list, Next(Told{Form: "bolete", Leave: Leave{Cut: true, Dig: true, Print: true}}, 9)...)
	used := map[string]bool{}
	for _, a := range list {
		if a.Text != a.Say.String() || a.Why != words(a.Because) || a.Why == "" {
			t.Errorf("%s: %q is not %q, or %q not %v", a.Rule, a.Text, a.Say, a.Why, a.Because)
		}
		for _, s := range append(slices.Clone(a.Because), a.Say) {
			used[string(s.Words)] = true
			if !slices.Contains(all, string(s.Words)) {
				t.Errorf("%q is none of the sentences", s.Words)
			}
			if strings.ContainsAny(s.String(), "{}") {
				t.Errorf("a name has no value: %q", s)
			}
		}
	}
	if len(used) < 20 {
		t.Errorf("only %d sentences were met", len(used))
	}
}
