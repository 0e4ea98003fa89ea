package describe

import (
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

// Recorders' screens hold the vocabulary in other languages, complete against a
// file with all that recorders are asked: write it anew with WRITE=1 after a change of words.
func TestWordsAreWrittenDown(t *testing.T) {
	const file = "../../internal/web/ui/src/words/from-go/vocabulary.json"
	found := map[string]bool{}
	for _, c := range Standing().Characters() {
		if !c.Asks("recorder") && !c.Asks("card") {
			continue
		}
		found[c.Label] = true
		if !c.Asks("recorder") {
			continue
		}
		found[c.Question] = true
		for _, s := range c.States {
			// Neither is offered: see shownQuestion in internal/app.
			if !strings.Contains(s.Says, "2021 data") {
				found[s.Label], found[s.Says] = true, true
			}
		}
	}
	delete(found, "")
	text, err := json.MarshalIndent(slices.Sorted(maps.Keys(found)), "", "  ")
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
		t.Errorf("%s does not hold the words of the vocabulary: run WRITE=1 go test ./science/describe -run Words, and translate what is new: %v", file, err)
	}
}
