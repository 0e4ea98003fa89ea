package web

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"io"
	"regexp"
	"testing"

	"trug/internal/app/apptest"
)

// Texts that would end a string of a PDF and begin an action stay texts: no
// sheet holds a script, an action, an attachment or a link.
func TestSheetsHoldNoActions(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	c := newClient(t, s, Handler(s.App, Options{}), "R02")
	const nasty = `) >> endobj /OpenAction << /S /JavaScript /JS (app.alert(1)) >> \) (\`
	status, body := c.do("GET", "/api/settings", nil, "")
	var settings map[string]any
	if err := json.Unmarshal([]byte(body), &settings); err != nil || status != 200 {
		t.Fatalf("%d %v", status, err)
	}
	settings["title"] = nasty
	sent, _ := json.Marshal(settings)
	if status, body = c.do("PUT", "/api/settings", sent, "application/json"); status != 200 {
		t.Fatalf("the title was not taken: %d %s", status, body)
	}
	acts := regexp.MustCompile(`/(JavaScript|JS|OpenAction|AA|Launch|EmbeddedFile|URI|SubmitForm|RichMedia)\b`)
	if !acts.MatchString(unpacked(`<< /Title (a) /OpenAction (b) >>`)) || acts.MatchString(unpacked(`<< /Title (a\) /OpenAction \() >>`)) {
		t.Fatal("the test can't tell an action from a text")
	}
	sheets := 0
	for _, path := range []string{"poster.pdf", "programme.pdf", "thanks.pdf", "slips.pdf?from=1&count=4", "leaders-sheet.pdf?foray=" + foray(t, s, "O08"), "risk-sheet.pdf?foray=" + foray(t, s, "O08")} {
		status, pdf := c.do("GET", "/api/paper/"+path, nil, "")
		if status != 200 {
			continue // named otherwise, or wants more
		}
		sheets++
		if found := acts.FindString(unpacked(pdf)); found != "" {
			t.Errorf("%s holds %s", path, found)
		}
	}
	if sheets < 3 {
		t.Errorf("only %d sheets were printed", sheets)
	}
}

var (
	stream = regexp.MustCompile(`(?s)stream\r?\n(.*?)endstream`)
	// shown is a text that a page shows: a string before an operator, its
	// brackets escaped.
	shown = regexp.MustCompile(`(?s)\((?:\\.|[^\\()])*\)`)
)

// unpacked returns what of a PDF is no picture, font or text: its objects, and
// its streams unpacked, strings left out.
func unpacked(pdf string) string {
	rest := stream.ReplaceAllStringFunc(pdf, func(s string) string {
		z, err := zlib.NewReader(bytes.NewReader([]byte(stream.FindStringSubmatch(s)[1])))
		if err != nil {
			return ""
		}
		text, _ := io.ReadAll(z)
		if bytes.IndexByte(text, 0) >= 0 {
			return "" // a font or picture
		}
		return string(text)
	})
	return shown.ReplaceAllString(rest, "")
}
