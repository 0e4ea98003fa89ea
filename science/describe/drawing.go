package describe

import "embed"

//go:embed drawings/*.svg
var drawings embed.FS

// Drawing returns the line drawing of a state, an SVG of 96 by 96 in the
// colour of the text, or false where words do. The drawings are our own.
func Drawing(character, state string) ([]byte, bool) {
	if !isMark(character) || !isMark(state) {
		return nil, false
	}
	data, err := drawings.ReadFile("drawings/" + character + "." + state + ".svg")
	return data, err == nil
}
