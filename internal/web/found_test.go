package web

import (
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// What attacks have found stays found.
func TestWhatAttacksFound(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	c := newClient(t, s, Handler(s.App, Options{}), "R02")
	for name, q := range map[string]struct{ path, body, kind, says string }{
		"an outline off the globe had a surface that is no number": {"/api/outline/check", `{"rings":[[[0,0],[1e300,1],[1,1]]]}`, "application/json", "faults"},
		"an outline of one ring without points":                    {"/api/outline/check", `{"rings":[[]]}`, "application/json", "faults"},
		"a checklist that ends in a quotation mark":                {"/api/checklist", "name\nMycena pura\n\"=1+1", "text/csv", "quotation mark"},
	} {
		status, body := c.do("POST", q.path, []byte(q.body), q.kind)
		if status != 200 && status != 422 || !strings.Contains(body, q.says) {
			t.Errorf("%s: %d %s", name, status, body)
		}
	}
}
