package web

import (
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"trug"
	"trug/science/said"
)

// What a problem says in other languages is what it says in English, word for word.
func TestAProblemSaysTheSameInEveryLanguage(t *testing.T) {
	s := &server{}
	for _, p := range []*Problem{
		huma.NewError(422, "validation failed", &huma.ErrorDetail{Message: "expected {a} number", Location: "body.numberSeen"}).(*Problem),
		huma.NewError(404, "not found").(*Problem),
		problem(400, "A piece's sum is told as sha256 or sha1, in base64."),
		s.asProblem(t.Context(), "GET /", trug.Errorf(trug.Invalid, "name", "This name has %d letters; %q is none of them.", 3, "{0}")),
	} {
		if told, ok := p.Said["says"]; ok && said.English(told) != p.Says {
			t.Errorf("says %q, and in other languages %q", p.Says, said.English(told))
		}
	}
}
