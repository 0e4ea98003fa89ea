package describe

import (
	"slices"
	"strings"
	"testing"

	"trug/science/colour"
)

// Every block has words, and each is a state of the cap's colours.
func TestEveryBlockHasColourWords(t *testing.T) {
	for _, name := range []string{"cap_color", "gill_color", "stem_color"} {
		c, _ := Standing().Character(name)
		for _, b := range colour.Blocks() {
			if got := c.ColourStates(b); len(got) == 0 || len(got) > 2 {
				t.Errorf("%s: %s is called %v", name, b.Name, got)
			}
		}
	}
	hat, _ := Standing().Character("cap_color")
	for _, b := range colour.Blocks() {
		if got := hat.ColourStates(b); !slices.Equal(got, ColourWords(b)) {
			t.Errorf("%s: %v is no state of the cap's colours", b.Name, ColourWords(b))
		}
	}
}

// Ridgway's names of 1912 bear everyday words, and NBS SP440 (1976) puts each name
// into blocks: the blocks of a name that is called a Brown must be called brown,
// or what lies beside it. The word is the last of the name ("Cinnamon-Brown").
func TestColourWordsAgainstRidgwaysNames(t *testing.T) {
	beside := map[string][]string{
		"white": {"white", "cream"}, "cream": {"cream", "white", "yellow"}, "yellow": {"yellow", "cream", "ochre", "orange", "green"},
		"orange": {"orange", "rust", "red", "ochre", "yellow"}, "red": {"red", "rust", "pink", "purple"}, "pink": {"pink", "red"},
		"purple": {"purple", "pink", "red", "grey"}, "violet": {"purple", "blue", "grey"}, "blue": {"blue", "purple", "grey"},
		"green": {"green", "yellow", "grey", "blue"}, "olive": {"green", "brown", "ochre", "grey"},
		"buff": {"cream", "ochre", "pink", "orange", "yellow"}, "tawny": {"rust", "ochre", "brown"}, "cinnamon": {"rust", "ochre", "brown", "orange", "pink"},
		"rufous": {"rust", "orange", "red"}, "russet": {"brown", "rust"}, "brown": {"brown", "rust", "ochre", "purple"}, "umber": {"brown"},
		"chestnut": {"brown", "rust"}, "drab": {"brown", "grey", "ochre", "purple"}, "gray": {"grey", "blue", "purple", "green", "brown", "cream"}, "black": {"black", "grey", "brown"},
	}
	tried, agree := 0, 0
	for _, r := range colour.RidgwayNames() {
		words := strings.FieldsFunc(strings.ToLower(r.Name), func(c rune) bool { return c == ' ' || c == '-' })
		may, ok := beside[words[len(words)-1]]
		if !ok || len(r.Blocks) == 0 {
			continue
		}
		tried++
		if slices.ContainsFunc(r.Blocks, func(n int) bool {
			return slices.ContainsFunc(ColourWords(colour.Blocks()[n-1]), func(w string) bool { return slices.Contains(may, w) })
		}) {
			agree++
		} else {
			t.Logf("%s, in blocks %v, is called %v", r.Name, r.Blocks, ColourWords(colour.Blocks()[r.Blocks[0]-1]))
		}
	}
	t.Logf("%d of %d names agree", agree, tried)
	if tried < 400 || agree < tried*95/100 {
		t.Errorf("%d of %d names agree with the words of their blocks", agree, tried)
	}
}
