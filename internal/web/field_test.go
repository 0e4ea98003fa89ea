package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

func hashText(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func tusHead(more ...string) map[string]string {
	out := map[string]string{"Tus-Resumable": tusVersion}
	for i := 0; i < len(more); i += 2 {
		out[more[i]] = more[i+1]
	}
	return out
}

func base(text string) string { return base64.StdEncoding.EncodeToString([]byte(text)) }

// fieldSamples are requests for the routes of phones. An upload is its
// person's alone, so each role asks about one of its own.
func fieldSamples(t *testing.T, s apptest.Season) map[string]func() sample {
	n := 0
	own := func(code string) string {
		if code == "" {
			return uploadsPath + "/" + string(s.ID())
		}
		n++
		u, err := s.BeginUpload(t.Context(), s.As(code), app.NewUpload{Length: 3, Hash: trug.Hash(hashText([]byte(fmt.Sprint(n)))), FileName: "a.jpg"})
		if err != nil {
			t.Fatal(err)
		}
		return uploadsPath + "/" + string(u.ID)
	}
	return map[string]func() sample{
		"GET /api/field":       func() sample { return sample{path: "/api/field"} },
		"GET /api/field/names": func() sample { return sample{path: "/api/field/names"} },
		"POST /api/field/next": func() sample { return sample{path: "/api/field/next", body: `{"answers":[],"views":["top"],"may":[]}`} },
		"POST /api/field/messages": func() sample {
			return sample{path: "/api/field/messages", body: fmt.Sprintf(`{"messages":[{"phone":%q,"number":1,"record":%q,"seen":0,"made":"2026-10-10T10:00:00Z","sent":"2026-10-10T10:00:00Z","set":{"found":{"date":"2026-10-10"},"fieldName":"Mycena"},"views":[]}]}`, s.ID(), s.ID())}
		},
		"OPTIONS " + uploadsPath: func() sample { return sample{path: uploadsPath, gives: 204} },
		"POST " + uploadsPath: func() sample {
			return sample{path: uploadsPath, gives: 201, head: tusHead("Upload-Length", "3", "Upload-Metadata", "sha256 "+base(hashText([]byte("cap"))))}
		},
		"HEAD " + uploadsPath + "/{id}": func() sample { return sample{of: own, head: tusHead()} },
		"PATCH " + uploadsPath + "/{id}": func() sample {
			return sample{of: own, gives: 204, body: "ca", kind: tusPiece, head: tusHead("Upload-Offset", "0")}
		},
		"DELETE " + uploadsPath + "/{id}": func() sample { return sample{of: own, gives: 204, head: tusHead()} },
	}
}

// ask asks the server by tus and returns the whole answer.
func ask(c client, method, path string, body []byte, head map[string]string) *http.Response {
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, c.with(head).request(method, path, body, tusPiece))
	return w.Result()
}

// A photograph goes by tus 1.0.0 in pieces, with sums and without, and its
// record follows.
func TestAPhotographInPieces(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	c := newClient(t, s, h, "R08")
	picture := apptest.JPEG(t, 9100)
	answer := ask(c, "OPTIONS", uploadsPath, nil, nil)
	if got := answer.Header; got.Get("Tus-Version") != "1.0.0" || !strings.Contains(got.Get("Tus-Extension"), "checksum") || got.Get("Tus-Max-Size") == "" {
		t.Errorf("what is spoken: %v", got)
	}
	answer = ask(c, "POST", uploadsPath, nil, tusHead("Upload-Length", fmt.Sprint(len(picture)), "Upload-Metadata", "filename "+base("a.jpg")+",sha256 "+base(hashText(picture))))
	where := answer.Header.Get("Location")
	if answer.StatusCode != 201 || !strings.HasPrefix(where, uploadsPath+"/") || answer.Header.Get("Upload-Expires") == "" {
		t.Fatalf("begun: %d %v", answer.StatusCode, answer.Header)
	}
	for at := 0; at < len(picture); {
		told := ask(c, "HEAD", where, nil, tusHead())
		if told.Header.Get("Upload-Offset") != fmt.Sprint(at) || told.Header.Get("Cache-Control") != "no-store" {
			t.Fatalf("at %d it tells %v", at, told.Header)
		}
		piece := picture[at:min(at+len(picture)/3, len(picture))]
		sum := sha256.Sum256(piece)
		wrong := ask(c, "PATCH", where, piece, tusHead("Upload-Offset", fmt.Sprint(at), "Upload-Checksum", "sha256 "+base("x")))
		if wrong.StatusCode != statusSum {
			t.Errorf("a wrong sum: %d", wrong.StatusCode)
		}
		right := ask(c, "PATCH", where, piece, tusHead("Upload-Offset", fmt.Sprint(at), "Upload-Checksum", "sha256 "+base64.StdEncoding.EncodeToString(sum[:])))
		if at += len(piece); right.StatusCode != 204 || right.Header.Get("Upload-Offset") != fmt.Sprint(at) {
			t.Fatalf("a piece: %d %v", right.StatusCode, right.Header)
		}
	}
	record := s.ID()
	body := fmt.Sprintf(`{"messages":[{"phone":%q,"number":1,"record":%q,"seen":0,"made":"2026-10-10T10:00:00Z","sent":"2026-10-10T10:00:00Z","set":{"found":{"date":"2026-10-10"}},"views":[{"photograph":%q,"kind":"top"}]}]}`, s.ID(), record, hashText(picture))
	for range 2 {
		status, text := c.do("POST", "/api/field/messages", []byte(body), "application/json")
		var got []app.MessageAnswer
		if err := json.Unmarshal([]byte(text), &got); status != 200 || err != nil || len(got) != 1 || got[0].State != "taken" || len(got[0].Kept) != 1 || string(got[0].Kept[0]) != hashText(picture) {
			t.Fatalf("the record: %d %s", status, text)
		}
	}
	if told := ask(c, "HEAD", where, nil, tusHead()); told.StatusCode != 404 {
		t.Errorf("what is kept is still on its way: %d", told.StatusCode)
	}
}

func TestUploadsThatCannotBe(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	c := newClient(t, s, h, "R08")
	hash := "sha256 " + base(hashText([]byte("cap")))
	where := ask(c, "POST", uploadsPath, nil, tusHead("Upload-Length", "3", "Upload-Metadata", hash)).Header.Get("Location")
	for name, q := range map[string]struct {
		method, path, body string
		head               map[string]string
		as                 string
		status             int
	}{
		"another version":      {"POST", uploadsPath, "", map[string]string{"Tus-Resumable": "0.2.2"}, "R08", 412},
		"no version":           {"PATCH", where, "cap", nil, "R08", 412},
		"no length":            {"POST", uploadsPath, "", tusHead("Upload-Metadata", hash), "R08", 422},
		"no bytes":             {"POST", uploadsPath, "", tusHead("Upload-Length", "0", "Upload-Metadata", hash), "R08", 422},
		"less than no bytes":   {"POST", uploadsPath, "", tusHead("Upload-Length", "-5", "Upload-Metadata", hash), "R08", 422},
		"no hash":              {"POST", uploadsPath, "", tusHead("Upload-Length", "3"), "R08", 422},
		"no base64":            {"POST", uploadsPath, "", tusHead("Upload-Length", "3", "Upload-Metadata", "sha256 ***"), "R08", 422},
		"a terabyte":           {"POST", uploadsPath, "", tusHead("Upload-Length", "1099511627776", "Upload-Metadata", hash), "R08", 413},
		"from the middle":      {"PATCH", where, "p", tusHead("Upload-Offset", "2"), "R08", 409},
		"from no number":       {"PATCH", where, "cap", tusHead("Upload-Offset", "oak"), "R08", 422},
		"a sum nobody knows":   {"PATCH", where, "cap", tusHead("Upload-Offset", "0", "Upload-Checksum", "md5 AAAA"), "R08", 400},
		"somebody else's":      {"HEAD", where, "", tusHead(), "R09", 404},
		"somebody else's part": {"PATCH", where, "cap", tusHead("Upload-Offset", "0"), "R09", 404},
		"somebody else's end":  {"DELETE", where, "", tusHead(), "R09", 404},
		"none":                 {"HEAD", uploadsPath + "/none", "", tusHead(), "R08", 404},
		"a path":               {"HEAD", uploadsPath + "/..%2f..%2ftrug.db", "", tusHead(), "R08", 404},
		"not come in":          {"POST", uploadsPath, "", tusHead("Upload-Length", "3", "Upload-Metadata", hash), "", 401},
		"another file's bytes": {"PATCH", where, "cup", tusHead("Upload-Offset", "0"), "R08", 422},
	} {
		t.Run(name, func(t *testing.T) {
			if name == "another file's bytes" { // ends the upload, which others ask for
				where := ask(c, "POST", uploadsPath, nil, tusHead("Upload-Length", "3", "Upload-Metadata", "sha256 "+base(hashText([]byte("rim"))))).Header.Get("Location")
				q.path = where
			}
			answer := ask(newClient(t, s, h, q.as), q.method, q.path, []byte(q.body), q.head)
			body, _ := io.ReadAll(answer.Body)
			if answer.StatusCode != q.status {
				t.Errorf("status %d, want %d: %s", answer.StatusCode, q.status, body)
			}
			var p Problem
			if q.method != "HEAD" && (json.Unmarshal(body, &p) != nil || p.Says == "") {
				t.Errorf("no sentence: %s", body)
			}
		})
	}
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, c.with(tusHead("Upload-Offset", "0")).request("PATCH", where, []byte("cap"), "image/jpeg"))
	if w.Code != 415 {
		t.Errorf("a piece as image/jpeg: %d", w.Code)
	}
}

// One person's uploads are bounded, and cost others nothing.
func TestUploadsAreBounded(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	c := newClient(t, s, Handler(s.App, Options{}), "R08")
	refused := 0
	for n := range app.MostUploads + 20 {
		head := tusHead("Upload-Length", "4", "Upload-Metadata", "sha256 "+base(hashText([]byte(fmt.Sprint(n)))))
		if got := ask(c, "POST", uploadsPath, nil, head).StatusCode; got == 503 {
			refused++
		} else if got != 201 {
			t.Fatalf("upload %d: %d", n, got)
		}
	}
	if refused != 20 {
		t.Errorf("%d were refused, want the 20 beyond what one person may", refused)
	}
	other := newClient(t, s, c.handler, "R09")
	if got := ask(other, "POST", uploadsPath, nil, tusHead("Upload-Length", "4", "Upload-Metadata", "sha256 "+base(hashText([]byte("x"))))).StatusCode; got != 201 {
		t.Errorf("somebody else's upload: %d", got)
	}
}

// What a phone takes along names no private ground that its person may not know.
func TestWhatIsTakenAlong(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	_, all := newClient(t, s, h, "R02").do("GET", "/api/field", nil, "")
	status, mine := newClient(t, s, h, "R08").do("GET", "/api/field", nil, "")
	private := 0
	for _, site := range s.Demo.Sites {
		if site.Open {
			continue
		}
		knows := false
		for _, y := range s.Demo.Forays {
			for _, p := range y.SignedUp {
				knows = knows || y.SiteID == site.ID && p == s.As("R08").Person.ID
			}
		}
		if private++; !knows && strings.Contains(mine, site.Name) {
			t.Errorf("a recorder takes along %s", site.Name)
		}
		if !strings.Contains(all, site.Name) {
			t.Errorf("the coordinator does not take along %s", site.Name)
		}
	}
	if status != 200 || private == 0 || !strings.Contains(mine, `"hazards"`) {
		t.Errorf("taken along: %d, %d private sites: %s", status, private, mine)
	}
	w := httptest.NewRecorder()
	c := newClient(t, s, h, "R08")
	c.handler.ServeHTTP(w, c.request("GET", "/api/field", nil, ""))
	again := httptest.NewRecorder()
	c.handler.ServeHTTP(again, c.with(map[string]string{"If-None-Match": w.Header().Get("ETag")}).request("GET", "/api/field", nil, ""))
	if again.Code != 304 || bytes.Contains(again.Body.Bytes(), []byte("hazards")) {
		t.Errorf("had already: %d", again.Code)
	}
}
