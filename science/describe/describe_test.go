package describe

import (
	"strings"
	"testing"
)

// The vocabulary's own README counts 517 states of 83 characters (34 single,
// 23 multiple, 6 ordered; numeric and text characters have no states).
func TestVocabularyIsWhole(t *testing.T) {
	all, characters := 0, 0
	for _, states := range vocabulary() {
		characters++
		all += len(states)
	}
	if all != 517 {
		t.Errorf("%d states, the vocabulary counts 517", all)
	}
	if characters != 34+23+6 {
		t.Errorf("%d characters have states, the vocabulary counts 63", characters)
	}
}

func TestFind(t *testing.T) {
	s, ok := Find("substrate", "litter_leaf")
	if !ok || s.Label != "Leaf litter" || s.Technical != "broadleaf litter" {
		t.Errorf("litter_leaf: got %+v, %v", s, ok)
	}
	if _, ok := Find("substrate", "cheese"); ok {
		t.Error("a state that does not exist was found")
	}
}

func TestReadStatesNamesTheLine(t *testing.T) {
	_, err := ReadStates(strings.NewReader("a,b,c,d,e,f,g\nform,cup,1,Cup,says,tech,src\nform,,2,x,y,z,s\n"))
	if err == nil || !strings.Contains(err.Error(), "line 3") {
		t.Errorf("got %v, want the line named", err)
	}
}

func FuzzReadStates(f *testing.F) {
	f.Add("h,h,h,h,h,h,h\nform,cup,1,Cup,says,tech,src\n")
	f.Add("\"")
	f.Fuzz(func(t *testing.T, text string) {
		states, err := ReadStates(strings.NewReader(text))
		if err == nil && states == nil {
			t.Error("neither states nor an error")
		}
	})
}
