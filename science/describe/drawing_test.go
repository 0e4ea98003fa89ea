package describe

import (
	"encoding/xml"
	"regexp"
	"strings"
	"testing"
)

// The characters whose states words describe badly are drawn, all of their
// states that can be seen.
func TestDrawings(t *testing.T) {
	for _, character := range []string{"cap_shape", "cap_centre", "cap_rim", "cap_edge", "gill_attachment", "stem_base"} {
		for _, s := range States(character) {
			if _, ok := Drawing(character, s.Name); !ok && s.StandsFor == Answered {
				t.Errorf("%s %s is not drawn", character, s.Name)
			}
		}
	}
	entries, err := drawings.ReadDir("drawings")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		character, state, _ := strings.Cut(strings.TrimSuffix(e.Name(), ".svg"), ".")
		if _, ok := Find(character, state); !ok {
			t.Errorf("%s draws no state", e.Name())
		}
		data, _ := Drawing(character, state)
		checkDrawing(t, e.Name(), string(data))
	}
	if _, ok := Drawing("../data/characters", "csv"); ok {
		t.Error("a path was taken for a character")
	}
}

// foreign are colours of its own and anything that could run or fetch.
var foreign = regexp.MustCompile(`(?i)<script|href|url\(|on\w+=|<image|#[0-9a-f]{3}`)

func checkDrawing(t *testing.T, name, text string) {
	t.Helper()
	var svg struct {
		XMLName xml.Name
		ViewBox string `xml:"viewBox,attr"`
		Stroke  string `xml:"stroke,attr"`
		Title   string `xml:"title"`
	}
	if err := xml.Unmarshal([]byte(text), &svg); err != nil || svg.XMLName.Local != "svg" || svg.ViewBox != "0 0 96 96" || svg.Stroke != "currentColor" || svg.Title == "" {
		t.Errorf("%s: %v, %+v", name, err, svg)
	}
	if f := foreign.FindString(text); f != "" {
		t.Errorf("%s holds %q", name, f)
	}
}
