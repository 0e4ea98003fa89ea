package describe

import (
	"slices"
	"strings"

	"trug/science/colour"
)

// ColourWords are the plain words of the vocabulary that a block of the ISCC-NBS
// method is called by, the more usual first: two where it lies between them. The
// words are the states that cap_color has. The choice is ours, with no published
// source; a test holds it against the names of Ridgway (1912) that NBS SP440 puts
// into each block.
func ColourWords(b colour.Block) []string {
	if words, ok := ownWords[b.Number]; ok {
		return words
	}
	switch {
	case strings.HasSuffix(b.Name, "white"):
		return []string{"white"}
	case strings.HasSuffix(b.Name, "black"):
		return []string{"black"}
	case strings.HasSuffix(b.Name, "gray"):
		return []string{"grey"}
	}
	return middleWords[b.Middle]
}

var middleWords = map[string][]string{
	"pink": {"pink"}, "yellowish pink": {"pink", "orange"}, "purplish pink": {"pink"},
	"red": {"red"}, "purplish red": {"red", "purple"},
	"reddish orange": {"orange", "red"}, "orange": {"orange"},
	"reddish brown": {"brown"}, "brown": {"brown"}, "yellowish brown": {"brown"}, "olive brown": {"brown"},
	"orange yellow": {"yellow", "orange"}, "yellow": {"yellow"}, "greenish yellow": {"yellow"},
	"olive": {"green"}, "yellow green": {"green"}, "olive green": {"green"}, "yellowish green": {"green"},
	"green": {"green"}, "bluish green": {"green"},
	"greenish blue": {"blue"}, "blue": {"blue"}, "purplish blue": {"blue"},
	"violet": {"purple"}, "purple": {"purple"}, "reddish purple": {"purple"},
}

// ownWords are the blocks that their level 2 name would call wrongly.
var ownWords = map[int][]string{
	19: {"red", "brown"}, 20: {"red", "brown"}, // eight of Ridgway's browns
	31: {"cream", "pink"}, 33: {"pink", "brown"},
	37: {"rust"}, 38: {"rust"}, 39: {"rust"}, 40: {"rust", "brown"},
	53: {"orange", "ochre"}, 54: {"rust"}, 55: {"rust", "brown"}, 57: {"brown", "rust"},
	70: {"ochre", "yellow"}, 71: {"ochre"}, 72: {"ochre"}, 73: {"cream"},
	74: {"ochre", "brown"}, 76: {"ochre"}, 77: {"ochre", "brown"}, 79: {"ochre", "brown"},
	86: {"yellow", "cream"}, 87: {"ochre", "yellow"}, 88: {"ochre"}, 89: {"cream"}, 90: {"cream", "ochre"}, 91: {"ochre"},
	92: {"cream", "white"}, 93: {"grey", "cream"}, 94: {"ochre", "brown"},
	103: {"green", "yellow"}, 104: {"cream", "yellow"}, 105: {"green", "yellow"},
}

// nextWords is what a character is answered with that lacks a word.
var nextWords = map[string]string{"cream": "white", "ochre": "brown", "rust": "brown"}

// ColourStates are the states of a character that a block of colour answers, none
// where the character tells no colours.
func (c Character) ColourStates(b colour.Block) []string {
	var out []string
	for _, word := range ColourWords(b) {
		if _, ok := c.State(word); !ok {
			word = nextWords[word]
		}
		if _, ok := c.State(word); ok && !slices.Contains(out, word) {
			out = append(out, word)
		}
	}
	return out
}
