package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// rightsSamples gives a request for each route on the rights of people.
func rightsSamples(t *testing.T, s apptest.Season, own ownRecord) map[string]func() sample {
	plain := func(path string) func() sample { return func() sample { return sample{path: path} } }
	return map[string]func() sample{
		"POST /api/records/{id}/views/{view}/mark": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/views/" + string(own.second) + "/mark", body: fmt.Sprintf(`{"id":%q}`, own.mark)}
		},
		// Of R08 others but the coordinator learn nothing; one's own is asked for as "me".
		"GET /api/kept/{id}":          plain("/api/kept/me"),
		"GET /api/kept/{id}/copy.zip": plain("/api/kept/me/copy.zip"),
		"POST /api/kept/{id}/withdraw": func() sample {
			return sample{path: "/api/kept/me/withdraw", body: `{"about":"name"}`}
		},
		"POST /api/kept/{id}/take-out": func() sample {
			// Whoever is gone can't ask again: by a wrong name it is refused.
			return sample{path: "/api/kept/me/take-out", body: `{"name":"somebody else"}`, gives: 422}
		},
		"GET /api/kept/{id}/mentions": plain("/api/kept/me/mentions"),
		"POST /api/kept/{id}/ask": func() sample {
			return sample{path: "/api/kept/me/ask", body: fmt.Sprintf(`{"id":%q}`, s.ID())}
		},
		"POST /api/kept/{id}/ask-no-more": func() sample { return sample{path: "/api/kept/me/ask-no-more", body: `{}`} },
		"POST /api/records/{id}/take-out": func() sample {
			// It stands, so putting it back changes nothing for whoever comes next.
			return sample{path: "/api/records/" + string(own.id) + "/take-out", body: `{"back":true}`, refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"GET /api/wishes": plain("/api/wishes"),
		"POST /api/wishes/{id}/decline": func() sample {
			id := s.ID()
			if _, err := s.AskOut(t.Context(), s.As("R08"), "me", app.GivenWish{ID: id}); err != nil {
				t.Fatal(err)
			}
			page, err := s.Wishes(t.Context(), s.As("R02"))
			if err != nil {
				t.Fatal(err)
			}
			return sample{path: "/api/wishes/" + string(page.Wishes[0].ID) + "/decline", body: `{"how":"unsure"}`}
		},
		"GET /api/marks": plain("/api/marks"),
		"POST /api/views/{id}/clear": func() sample {
			return sample{path: "/api/views/" + string(own.second) + "/clear", body: `{"why":"nobody"}`}
		},
		"POST /api/views/{id}/crop": func() sample {
			return sample{path: "/api/views/" + string(own.second) + "/crop", body: `{"left":0,"top":0,"width":0.9,"height":0.9}`,
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"GET /api/audit":     plain("/api/audit?what=looks"),
		"GET /api/audit.csv": plain("/api/audit.csv?what=changes"),
	}
}

// halves is a photograph whose left half is red and whose right half is blue.
func halves(t *testing.T) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 320, 160))
	for y := range 160 {
		for x := range 320 {
			img.Set(x, y, map[bool]color.RGBA{true: {220, 10, 10, 255}, false: {10, 10, 220, 255}}[x < 160])
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// marked makes a record of R08's with one view and marks it by D1.
func marked(t *testing.T, s apptest.Season, h http.Handler) (record, photograph, view trug.ID) {
	t.Helper()
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "us.jpg", bytes.NewReader(halves(t)))
	if err != nil {
		t.Fatal(err)
	}
	record = s.ID()
	sheet, err := s.SaveRecord(t.Context(), s.As("R08"), record, app.EditableRecord{Found: trug.When{Date: "2026-10-10"},
		Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}})
	if err != nil {
		t.Fatal(err)
	}
	view = sheet.Views[0].ID
	status, body := newClient(t, s, h, "D1").do("POST", fmt.Sprintf("/api/records/%s/views/%s/mark", record, view), []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json")
	if status != 200 {
		t.Fatalf("a mark: %d %s", status, body)
	}
	return record, p.ID, view
}

// A marked view is gone at once for everybody but the coordinator and the
// record's recorder, on every size and every list, and from the next deposit.
func TestAMarkedViewIsWithheldAtOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	record, photograph, view := marked(t, s, h)
	for code, sees := range map[string]bool{"R08": true, "R02": true, "D1": false, "D2": false, "R01": false} {
		c := newClient(t, s, h, code)
		for _, size := range []string{"thumb", "screen", "original"} {
			status, _ := c.do("GET", fmt.Sprintf("/api/photographs/%s/%s", photograph, size), nil, "")
			if sees && status != 200 || !sees && status != 404 {
				t.Errorf("%s as %s: %d", size, code, status)
			}
		}
		for _, path := range []string{"/api/records/" + string(record), "/api/records?limit=500", "/api/table"} {
			_, body := c.do("GET", path, nil, "")
			if got := strings.Contains(body, string(photograph)) || strings.Contains(body, string(view)); got && !sees {
				t.Errorf("%s tells %s of the view", path, code)
			}
		}
	}
	public := publicOf(t, s, view)
	if files := deposit(t, s, h); strings.Contains(files, public) {
		t.Error("the deposit holds the withheld view")
	}
	c := newClient(t, s, h, "R02")
	if status, body := c.do("GET", "/api/marks", nil, ""); status != 200 || !strings.Contains(body, string(view)) {
		t.Errorf("the desk does not list it: %d %s", status, body)
	}
	clear := func(why string) (int, string) {
		return c.do("POST", "/api/views/"+string(view)+"/clear", []byte(fmt.Sprintf(`{"why":%q}`, why)), "application/json")
	}
	for _, why := range []string{"", "I know them"} {
		if status, body := clear(why); status != 422 || !strings.Contains(body, "nobody") {
			t.Errorf("cleared for %q: %d %s", why, status, body)
		}
	}
	if status, body := clear("shadow"); status != 200 {
		t.Fatalf("clearing: %d %s", status, body)
	}
	for state, want := range map[string]bool{"waiting": false, "cropped": false, "cleared": true, "all": true} {
		_, body := c.do("GET", "/api/marks?state="+state, nil, "")
		if strings.Contains(body, string(view)) != want || want && !strings.Contains(body, "shadow or a reflection") {
			t.Errorf("the list of the %s views: %s", state, body)
		}
	}
	if status, _ := c.do("GET", "/api/marks?state=gone", nil, ""); status != 422 {
		t.Errorf("an unknown list: %d", status)
	}
	if status, _ := newClient(t, s, h, "D2").do("GET", fmt.Sprintf("/api/photographs/%s/screen", photograph), nil, ""); status != 200 {
		t.Errorf("a cleared view is still withheld: %d", status)
	}
	if files := deposit(t, s, h); !strings.Contains(files, public) {
		t.Error("the deposit lacks the cleared view")
	}
}

// What a browser kept of a view before it was marked is not shown again: it asks
// each time, and is told that there is nothing. In its place stands a sentence,
// for the marker as for others; its recorder is told that it waits.
func TestAMarkedViewIsNotShownFromACache(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "us.jpg", bytes.NewReader(halves(t)))
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := s.SaveRecord(t.Context(), s.As("R08"), s.ID(), app.EditableRecord{Found: trug.When{Date: "2026-10-10"},
		Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}})
	if err != nil {
		t.Fatal(err)
	}
	d1 := newClient(t, s, h, "D1")
	ask := func(etag string) *httptest.ResponseRecorder {
		r := d1.request("GET", fmt.Sprintf("/api/photographs/%s/screen", p.ID), nil, "")
		r.Header.Set("If-None-Match", etag)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	first := ask("")
	etag := first.Header().Get("ETag")
	if kept := first.Header().Get("Cache-Control"); first.Code != 200 || kept != "private, no-cache" || ask(etag).Code != 304 {
		t.Fatalf("before: %d, %s, asked again %d", first.Code, kept, ask(etag).Code)
	}
	path := fmt.Sprintf("/api/records/%s/views/%s/mark", sheet.ID, sheet.Views[0].ID)
	if status, body := d1.do("POST", path, []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); status != 200 {
		t.Fatalf("a mark: %d %s", status, body)
	}
	if now := ask(etag); now.Code != 404 || strings.Contains(now.Body.String(), string(p.ID)) {
		t.Errorf("what the browser kept is still good: %d %s", now.Code, now.Body)
	}
	for code, says := range map[string]string{"D1": "Withheld: a reader said", "D2": "Withheld: a reader said", "R01": "Withheld: a reader said", "R08": "You may crop it", "R02": "until you have looked"} {
		_, body := newClient(t, s, h, code).do("GET", "/api/records/"+string(sheet.ID), nil, "")
		if !strings.Contains(body, says) || strings.Contains(body, s.As("D1").Person.Name) {
			t.Errorf("%s is not told %q, or is told who marked: %s", code, says, body)
		}
	}
}

// A recorder crops their own view: others are still not shown it until a
// coordinator has looked, and somebody else's view nobody but the coordinator
// crops. What the whole picture's size was stays known, for measurements.
func TestARecorderCropsTheirOwnView(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	_, photograph, view := marked(t, s, h)
	crop := func(code, body string) (int, string) {
		return newClient(t, s, h, code).do("POST", "/api/views/"+string(view)+"/crop", []byte(body), "application/json")
	}
	const right = `{"left":0.5,"top":0.25,"width":0.5,"height":0.75,"seenWidth":320,"seenHeight":160}`
	for _, code := range []string{"D1", "R01"} {
		if status, body := crop(code, right); status != 403 {
			t.Errorf("cropped by %s: %d %s", code, status, body)
		}
	}
	if status, body := crop("R08", right); status != 200 {
		t.Fatalf("cropped by its recorder: %d %s", status, body)
	}
	if status, _ := newClient(t, s, h, "D2").do("GET", fmt.Sprintf("/api/photographs/%s/screen", photograph), nil, ""); status != 404 {
		t.Errorf("shown before anybody looked: %d", status)
	}
	if status, body := crop("R02", right); status != 409 {
		t.Errorf("a crop that was meant for the whole picture: %d %s", status, body)
	}
	_, body := newClient(t, s, h, "R02").do("GET", "/api/marks", nil, "")
	if !strings.Contains(body, `"ownCrop":true`) {
		t.Errorf("the desk is not told of the crop: %s", body)
	}
	if status, body := newClient(t, s, h, "R02").do("POST", "/api/views/"+string(view)+"/clear", []byte(`{"why":"nobody"}`), "application/json"); status != 200 {
		t.Errorf("cleared after the crop: %d %s", status, body)
	}
	if status, _ := newClient(t, s, h, "D2").do("GET", fmt.Sprintf("/api/photographs/%s/screen", photograph), nil, ""); status != 200 {
		t.Errorf("withheld after it was cleared: %d", status)
	}
	var p trug.Photograph
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		p, err = store.Get[trug.Photograph](t.Context(), r, photograph)
		return err
	})
	if c := p.Crop; err != nil || c == nil || c.FullWidth != 320 || c.FullHeight != 160 || c.Left != 160 || c.Top != 40 || c.By != s.As("R08").Person.ID || c.At.IsZero() {
		t.Errorf("of the crop is kept %+v (%v)", c, err)
	}
}

// publicOf returns under which identifier a view is deposited.
func publicOf(t *testing.T, s apptest.Season, view trug.ID) string {
	t.Helper()
	var v trug.View
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		v, err = store.Get[trug.View](t.Context(), r, view)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return string(v.Public)
}

// deposit publishes and returns every file of the archive.
func deposit(t *testing.T, s apptest.Season, h http.Handler) string {
	t.Helper()
	c := newClient(t, s, h, "R02")
	if status, body := c.do("POST", "/api/deposits", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); status != 200 {
		t.Fatalf("a deposit: %d %s", status, body)
	}
	page, err := s.Deposits(t.Context(), s.Outsider())
	if err != nil {
		t.Fatal(err)
	}
	_, archive := c.do("GET", "/api/deposits/"+string(page.Deposits[0].Public)+"/archive", nil, "")
	var all strings.Builder
	for _, text := range open(t, []byte(archive)) {
		all.WriteString(text)
	}
	return all.String()
}

// What was cut away is in no file that is served to anybody: the red half is
// cropped off, and no pixel of thumb or screen is red; the original is refused
// to everybody.
func TestCroppedPixelsAreGone(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	_, photograph, view := marked(t, s, h)
	c := newClient(t, s, h, "R02")
	crop := func(body string) (int, string) {
		return c.do("POST", "/api/views/"+string(view)+"/crop", []byte(body), "application/json")
	}
	for name, body := range map[string]string{"nothing": `{"left":0.5,"top":0.5,"width":0,"height":0}`, "all": `{"left":0,"top":0,"width":1,"height":1}`,
		"beside": `{"left":1,"top":1,"width":1,"height":1}`, "negative": `{"left":-0.5,"top":0,"width":1,"height":1}`} {
		if status, answer := crop(body); status != 422 {
			t.Errorf("keeping %s: %d %s", name, status, answer)
		}
	}
	if status, body := crop(`{"left":0.55,"top":0,"width":0.45,"height":1}`); status != 200 || strings.Contains(body, string(view)) {
		t.Fatalf("cropping: %d %s", status, body)
	}
	for _, code := range []string{"R08", "R02", "D2"} {
		for _, size := range []string{"thumb", "screen"} {
			status, file := newClient(t, s, h, code).do("GET", fmt.Sprintf("/api/photographs/%s/%s", photograph, size), nil, "")
			img, err := jpeg.Decode(strings.NewReader(file))
			if status != 200 || err != nil {
				t.Fatalf("%s as %s: %d %v", size, code, status, err)
			}
			if w := img.Bounds().Dx(); w != 144 {
				t.Errorf("%s is %d pixels wide, want 144", size, w)
			}
			for y := range img.Bounds().Dy() {
				for x := range img.Bounds().Dx() {
					if r, _, b, _ := img.At(x, y).RGBA(); r > b {
						t.Fatalf("%s as %s: red at %d,%d", size, code, x, y)
					}
				}
			}
		}
		if status, _ := newClient(t, s, h, code).do("GET", fmt.Sprintf("/api/photographs/%s/original", photograph), nil, ""); status != 404 {
			t.Errorf("the original of a cropped view was given to %s: %d", code, status)
		}
	}
	// A second crop is of what is shown, not of the original.
	if status, _ := crop(`{"left":0,"top":0,"width":0.5,"height":0.5}`); status != 200 {
		t.Errorf("cropping again: %d", status)
	}
	_, file := c.do("GET", fmt.Sprintf("/api/photographs/%s/screen", photograph), nil, "")
	if img, err := jpeg.Decode(strings.NewReader(file)); err != nil || img.Bounds().Dx() != 72 || img.Bounds().Dy() != 80 {
		t.Errorf("cropped again it is %v (%v), want 72 by 80", img.Bounds(), err)
	}
}

// One reader can't empty the season: the eleventh open mark is refused, and
// the desk sees whose they are.
func TestMarksOfOneReaderAreBounded(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	c := newClient(t, s, h, "D1")
	for n := range 11 {
		p, err := s.TakePhotograph(t.Context(), s.As("R08"), "n.jpg", bytes.NewReader(apptest.JPEG(t, uint64(300+n))))
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := s.SaveRecord(t.Context(), s.As("R08"), s.ID(), app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}})
		if err != nil {
			t.Fatal(err)
		}
		path := fmt.Sprintf("/api/records/%s/views/%s/mark", sheet.ID, sheet.Views[0].ID)
		want := 200
		if n == 10 {
			want = 429
		}
		if status, body := c.do("POST", path, []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); status != want {
			t.Errorf("mark %d: %d, want %d: %s", n+1, status, want, body)
		}
	}
	if _, body := newClient(t, s, h, "R02").do("GET", "/api/marks", nil, ""); !strings.Contains(body, `"open":10`) {
		t.Errorf("the desk does not see whose marks they are: %s", body)
	}
}

// Whoever is given the place of a protected find of somebody else's is noted
// before the answer, the coordinator too; one's own is nobody's business; and
// the audit itself tells no place.
func TestLooksAtProtectedPlacesAreNoted(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	h := Handler(s.App, Options{})
	list := secrets(t, s.Demo)
	x := list[0]
	var owner string
	for _, p := range s.Demo.People {
		if p.ID == x.record.RecorderID {
			owner = p.Code
		}
	}
	lines := func(what string) string {
		status, body := newClient(t, s, h, "R02").do("GET", "/api/audit.csv?what="+what, nil, "")
		if status != 200 {
			t.Fatalf("audit: %d %s", status, body)
		}
		return body
	}
	get := func(code string) { newClient(t, s, h, code).do("GET", "/api/records/"+string(x.record.ID), nil, "") }
	get(owner)
	get("R08")
	if n := strings.Count(lines("looks"), "\n"); n != 1 {
		t.Errorf("own look or a refused one was noted: %s", lines("looks"))
	}
	for _, code := range []string{"R02", "D1", "D1"} {
		if code != owner {
			get(code)
		}
	}
	text := lines("looks")
	for _, code := range []string{"R02", "D1"} {
		if id := string(s.As(code).Person.ID); code != owner && strings.Count(text, id) != 1 {
			t.Errorf("%s stands %d times in\n%s", code, strings.Count(text, id), text)
		}
	}
	newClient(t, s, h, "R02").do("GET", "/api/squares?side=100", nil, "")
	newClient(t, s, h, "R02").do("GET", "/api/deposits/next", nil, "")
	for _, what := range []string{"looks", "changes", "entries"} {
		text := lines(what)
		_, page := newClient(t, s, h, "R02").do("GET", "/api/audit?what="+what, nil, "")
		for _, y := range list {
			for _, word := range y.words {
				if strings.Contains(text, word) && len(word) > 6 || strings.Contains(page, word) && len(word) > 6 {
					t.Errorf("the audit of %s tells %q", what, word)
				}
			}
		}
	}
	if text := lines("looks"); !strings.Contains(text, "Squares") {
		t.Errorf("the look at Squares is not noted: %s", text)
	}
}

// An adult's free words reach no child through their Daybook or a record of
// theirs: requests are set sentences, remarks on slips stay away, and what an
// adult writes into a child's record is refused.
func TestAdultsFreeWordsReachNoChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	const words = "come-to-the-old-hut"
	child := s.As("R08").Person
	made, err := s.Person(t.Context(), s.As("R02"), child.ID)
	if err != nil {
		t.Fatal(err)
	}
	made.Minor, made.Guardian, made.Roles = true, s.As("R02").Person.ID, []trug.Role{trug.RecorderRole}
	made.Name, made.Credit = "Wren", ""
	if _, err := s.SavePerson(t.Context(), s.As("R02"), child.ID, made); err != nil {
		t.Fatal(err)
	}
	id := string(s.ID())
	if status, body := newClient(t, s, h, "R08").do("PUT", "/api/records/"+id, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("the child's record: %d %s", status, body)
	}
	for _, q := range []struct {
		code, method, path, body string
		status                   int
	}{
		{"D1", "POST", "/determinations", `{"id":"ID","name":"Mycena pura","basis":["description"],"remark":"W"}`, 200},
		{"D2", "POST", "/passes", `{"id":"ID","remark":"W"}`, 200},
		{"D2", "POST", "/requests", `{"id":"ID","view":"base"}`, 200},
		{"D2", "POST", "/requests", `{"id":"ID","view":"base","says":"W"}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","namedBy":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","host":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","smell":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena pura","smell":"mealy","views":[]}`, 200},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-09"},"fieldName":"Mycena","views":[]}`, 200},
	} {
		body := strings.NewReplacer("ID", string(s.ID()), "W", words).Replace(q.body)
		if status, answer := newClient(t, s, h, q.code).do(q.method, "/api/records/"+id+q.path, []byte(body), "application/json"); status != q.status {
			t.Errorf("%s %s by %s: %d, want %d: %s", q.method, q.path, q.code, status, q.status, answer)
		}
	}
	for _, path := range []string{"/api/daybook", "/api/daybook?date=2026-10-09", "/api/records/" + id, "/api/records/" + id + "/history", "/api/records?limit=500"} {
		if _, body := newClient(t, s, h, "R08").do("GET", path, nil, ""); strings.Contains(body, words) {
			t.Errorf("%s brings an adult's words to a child: %s", path, body)
		}
	}
	if _, body := newClient(t, s, h, "D1").do("GET", "/api/records/"+id, nil, ""); !strings.Contains(body, words) {
		t.Error("the test looks for words that nobody gets")
	}
}

// No route brings an adult's free words about a find to a child: not those that
// stood in the child's record before anybody knew that it is a child's, nor
// names that are on no list, remarks, consents, or words in adults' records.
func TestNoRouteBringsFreeWordsToAChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	desk, det, child := newClient(t, s, h, "R02"), newClient(t, s, h, "D1"), newClient(t, s, h, "R08")
	const marker = "zqxhut"
	must := func(c client, method, path, body string) {
		t.Helper()
		if status, answer := c.do(method, path, []byte(body), "application/json"); status != 200 {
			t.Fatalf("%s %s: %d %s", method, path, status, answer)
		}
	}
	requests := samples(t, s, h)
	mine, others := string(s.ID()), string(s.ID())
	const given = `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"by the child","host":"beech","views":[]}`
	const words = `{"found":{"date":"2026-10-10"},"fieldName":"M","namedBy":"M","host":"M","smell":"M","remarks":"M","views":[],"place":{"lat":48.5,"lon":-19.9,"source":"pin"}}`
	marked := strings.ReplaceAll(words, `"M"`, `"`+marker+`"`)
	must(child, "PUT", "/api/records/"+mine, given)
	must(desk, "PUT", "/api/records/"+mine, marked) // by an adult, in an adult's record as far as anybody knows
	must(desk, "POST", "/api/records/"+mine+"/answers", `{"character":"flesh_color","text":"`+marker+`"}`)
	must(newClient(t, s, h, "R03"), "PUT", "/api/records/"+others, marked)
	for _, id := range []string{mine, others} {
		must(det, "POST", "/api/records/"+id+"/determinations", fmt.Sprintf(`{"id":%q,"name":"Zqxhut nocturna","basis":["description"],"remark":%q}`, s.ID(), marker))
		must(newClient(t, s, h, "D2"), "POST", "/api/records/"+id+"/passes", fmt.Sprintf(`{"id":%q,"remark":%q}`, s.ID(), marker))
	}
	e, err := s.Person(t.Context(), s.As("R02"), s.As("R08").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.Minor, e.Guardian, e.Roles, e.Name, e.Credit = true, s.As("R02").Person.ID, []trug.Role{trug.RecorderRole}, "Wren", ""
	e.Consents = []trug.Consent{{About: trug.ShowPictures, Given: "2026-10-01", How: marker}}
	if _, err := s.SavePerson(t.Context(), s.As("R02"), e.ID, e); err != nil {
		t.Fatal(err)
	}
	asked := 0
	ask := func(method, path, body, kind string) {
		t.Helper()
		if kind == "" {
			kind = "application/json"
		}
		status, answer := child.do(method, path, []byte(body), kind)
		if status == 200 && strings.HasSuffix(path, ".zip") {
			files := open(t, []byte(answer))
			answer = ""
			for name, text := range files {
				if strings.Contains(strings.ToLower(text), marker) {
					answer += name + ": " + text
				}
			}
		}
		if asked++; strings.Contains(strings.ToLower(answer), marker) {
			t.Errorf("%s %s brings an adult's words to a child: %s", method, path, answer)
		}
	}
	ended := regexp.MustCompile(`/leave$|/take-out$|/end-others$|/sessions/.*/end$`) // after these there is nobody who asks, or nothing to be asked about
	for _, r := range (&server{app: s.App}).routes() {
		q := requests[r.method+" "+r.path]()
		if ended.MatchString(r.path) {
			continue
		}
		if q.of != nil {
			q.path = q.of("R08")
		}
		ask(r.method, q.path, q.body, q.kind)
		if r.method != "GET" && strings.HasPrefix(r.path, comeInPath) {
			child = newClient(t, s, h, "R08") // coming in anew ended the session that asked
		}
		if rest, ok := strings.CutPrefix(r.path, "/api/records/{id}"); ok && !strings.Contains(rest, "{") && r.method != "PUT" {
			for _, id := range []string{mine, others} {
				ask(r.method, "/api/records/"+id+rest, q.body, q.kind)
			}
		}
	}
	for _, path := range []string{"/api/daybook?date=2026-10-10", "/api/records?limit=500", "/api/records?text=" + marker, "/api/kept/me", "/api/kept/me/copy.zip"} {
		ask("GET", path, "", "")
	}
	if asked < 100 {
		t.Errorf("%d requests alone: the walk did not go round", asked)
	}
	for _, id := range []string{mine, others} {
		if _, body := desk.do("GET", "/api/records/"+id, nil, ""); strings.Count(body, marker) < 4 {
			t.Errorf("the test looks for words that nobody gets: %s", body)
		}
	}
	// What the child was not shown is not taken out by their saving the form.
	must(child, "PUT", "/api/records/"+mine, `{"found":{"date":"2026-10-09"},"remarks":"mine again","views":[]}`)
	_, body := desk.do("GET", "/api/records/"+mine, nil, "")
	for _, want := range []string{`"host":"` + marker, `"smell":"` + marker, `"remarks":"mine again"`} {
		if !strings.Contains(body, want) {
			t.Errorf("after the child saved, %s is gone: %s", want, body)
		}
	}
	if _, sheet := child.do("GET", "/api/records/"+mine, nil, ""); !strings.Contains(sheet, "mine again") || strings.Contains(sheet, marker) {
		t.Errorf("the child's own words: %s", sheet)
	}
}

// Everybody reads what is kept about themselves and takes a copy of it; of
// others a recorder learns nothing, and of adults the coordinator takes no copy.
func TestKeptIsForOneself(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "mine.jpg", app.Sized{Reader: bytes.NewReader(halves(t)), Size: -1})
	if err != nil {
		t.Fatal(err)
	}
	if p.ID == "" {
		t.Fatal("no photograph")
	}
	mine := string(s.As("R08").Person.ID)
	status, body := newClient(t, s, h, "R08").do("GET", "/api/kept/me", nil, "")
	if status != 200 || !strings.Contains(body, s.As("R08").Person.Name) || !strings.Contains(body, "One photograph") {
		t.Errorf("what is kept: %d %s", status, body)
	}
	status, archive := newClient(t, s, h, "R08").do("GET", "/api/kept/me/copy.zip", nil, "")
	if status != 200 {
		t.Fatalf("the copy: %d", status)
	}
	files := open(t, []byte(archive))
	var kept map[string]json.RawMessage
	if err := json.Unmarshal([]byte(files["kept.json"]), &kept); err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{"person", "sessions", "records", "photographs", "opinions", "sizes", "requests", "passes", "lifts", "forays", "marks", "looks", "wishes"} {
		if kept[part] == nil {
			t.Errorf("kept.json has no %s", part)
		}
	}
	if files["photographs/0001.jpg"] != string(halves(t)) {
		t.Error("the photograph in the copy is not the one that was handed in")
	}
	for _, name := range []string{"kept.json", "records.csv", "photographs.csv", "opinions.csv", "sign-ups.csv", "README.txt"} {
		if files[name] == "" {
			t.Errorf("the copy has no %s", name)
		}
	}
	for _, other := range s.Demo.People {
		if id := string(other.ID); id != mine && strings.Contains(files["kept.json"], id) && !strings.Contains(files["kept.json"], `"guardian": "`+id) {
			t.Errorf("the copy tells of %s", other.Code)
		}
	}
	for _, q := range []struct {
		code, path string
		status     int
	}{{"R01", mine, 404}, {"D1", mine, 404}, {"R02", mine, 200}, {"R01", mine + "/copy.zip", 404}, {"R02", mine + "/copy.zip", 403}, {"R02", string(s.ID()), 404}} {
		if status, body := newClient(t, s, h, q.code).do("GET", "/api/kept/"+q.path, nil, ""); status != q.status {
			t.Errorf("%s of %s: %d, want %d: %s", q.path, q.code, status, q.status, body)
		}
	}
}

// A name that is taken out stands nowhere: not in a row, not in an amendment,
// not among the secrets, not in the next deposit; the facts stay, the check
// still proves the chain, and earlier sessions let nobody in.
func TestATakenOutNameIsNowhere(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	me := s.As("R08").Person
	const former, name, words = "Quillwort Fernside", "Quillwort Bracken", "behind my house by the quillworts"
	e, err := s.Person(t.Context(), s.As("R02"), me.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, called := range []string{former, name} {
		e.Name, e.Credit, e.Minor, e.Guardian = called, called, false, ""
		if _, err := s.SavePerson(t.Context(), s.As("R02"), me.ID, e); err != nil {
			t.Fatal(err)
		}
	}
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), name+".jpg", app.Sized{Reader: bytes.NewReader(halves(t)), Size: -1})
	if err != nil {
		t.Fatal(err)
	}
	record := s.ID()
	body := fmt.Sprintf(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena pura","namedBy":%q,"remarks":%q,"views":[{"photograph":%q,"kind":"top"}],"place":{"lat":48.5,"lon":-19.9,"source":"pin"},"outsideIsOk":true}`, name, words, p.ID)
	mine := newClient(t, s, h, "R08")
	if status, answer := mine.do("PUT", "/api/records/"+string(record), []byte(body), "application/json"); status != 200 {
		t.Fatalf("the record: %d %s", status, answer)
	}
	if status, answer := mine.do("POST", "/api/forays/"+foray(t, s, "O08")+"/sign-up", []byte(`{"comes":true}`), "application/json"); status != 200 {
		t.Fatalf("signing up: %d %s", status, answer)
	}
	var before, after trug.Record
	get := func(into *trug.Record) {
		t.Helper()
		err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
			*into, err = store.Get[trug.Record](t.Context(), r, record)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	get(&before)
	desk := newClient(t, s, h, "R02")
	takeOut := "/api/kept/" + string(me.ID) + "/take-out"
	for given, want := range map[string]int{"somebody": 422, "": 422} {
		if status, _ := desk.do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q}`, given)), "application/json"); status != want {
			t.Errorf("taken out by the name %q: %d", given, status)
		}
	}
	for _, code := range []string{"R01", "R08"} {
		if status, answer := newClient(t, s, h, code).do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q}`, name)), "application/json"); status != 403 {
			t.Errorf("taken out by %s: %d %s", code, status, answer)
		}
	}
	mentions := othersMention(t, s, h, string(me.ID), former, name)
	if status, answer := desk.do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q,"originals":true,"mentions":%s}`, name, mentions)), "application/json"); status != 200 {
		t.Fatalf("taking out: %d %s", status, answer)
	}
	err = s.Store.Read(t.Context(), func(r store.Reader) error {
		all, err := r.Since(t.Context(), me.SeasonID, 0, 1_000_000)
		for _, c := range all {
			text := string(c.Before) + string(c.After)
			if hasAny(text, former, name, "QUILLWORT", "Q. Bracken", words) {
				t.Errorf("amendment %d of a %s: %s", c.Seq, c.Kind.Word(), text)
			}
			if c.Kind == store.Forays && strings.Contains(text, string(me.ID)) {
				t.Errorf("the sign-up stands in amendment %d", c.Seq)
			}
		}
		for _, kind := range store.Kinds {
			rows, err := r.Find(t.Context(), kind, store.Filter{})
			if err != nil {
				return err
			}
			for _, row := range rows {
				if text := string(row.Body) + row.Key; hasAny(text, former, name, "QUILLWORT", "Q. Bracken", words) {
					t.Errorf("the %s %s: %s", kind.Word(), row.ID, text)
				}
			}
		}
		for _, kind := range store.SecretKinds {
			if found, _ := r.Secrets(t.Context(), store.SecretFilter{Kind: kind, Person: me.ID}); len(found) > 0 {
				t.Errorf("%d secrets of kind %s are left", len(found), kind)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	get(&after)
	if after.Found != before.Found || after.FieldName.Name != before.FieldName.Name || after.Place == nil || *after.Place != *before.Place || after.RecorderID != me.ID {
		t.Errorf("the facts were changed: %+v, before %+v", after, before)
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the check says %q (%v)", faults, err)
	}
	if status, _ := mine.do("GET", "/api/daybook", nil, ""); status != 401 {
		t.Errorf("the session still lets in: %d", status)
	}
	files := deposit(t, s, h)
	if strings.Contains(files, name) || !strings.Contains(files, trug.NameTakenOut) {
		t.Error("the deposit bears the name, or does not say that it was taken out")
	}
	status, kept := newClient(t, s, h, "R02").do("GET", "/api/kept/"+string(me.ID), nil, "")
	if status != 200 || strings.Contains(kept, name) || !strings.Contains(kept, `"gone":true`) {
		t.Errorf("what is kept afterwards: %d %s", status, kept)
	}
}

func hasAny(text string, words ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, w) })
}

// othersMention has others write of somebody in every place that there is for
// it, and returns what the search finds, as JSON. What means somebody else, a
// plant here, is left out by the coordinator.
func othersMention(t *testing.T, s apptest.Season, h http.Handler, who string, names ...string) string {
	t.Helper()
	other, det, lead := newClient(t, s, h, "R03"), newClient(t, s, h, "D1"), newClient(t, s, h, "R02")
	must := func(c client, method, path, body string) {
		t.Helper()
		if status, answer := c.do(method, path, []byte(body), "application/json"); status != 200 {
			t.Fatalf("%s %s: %d %s", method, path, status, answer)
		}
	}
	record, plant := string(s.ID()), string(s.ID())
	text := fmt.Sprintf("with %s, as QUILLWORT  bracken told; %s’s basket", names[0], names[1])
	for _, remarks := range []string{text, "nothing of note"} { // what was written over stands in the history
		must(other, "PUT", "/api/records/"+record, fmt.Sprintf(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","namedBy":"Q. Bracken and others","remarks":%q,"views":[]}`, remarks))
	}
	must(other, "PUT", "/api/records/"+plant, `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"among quillwort, bracken and moss","views":[]}`)
	must(det, "POST", "/api/records/"+record+"/determinations", fmt.Sprintf(`{"id":%q,"name":"Mycena pura","basis":["description"],"remark":%q}`, s.ID(), text))
	must(det, "POST", "/api/records/"+record+"/passes", fmt.Sprintf(`{"id":%q,"remark":%q}`, s.ID(), text))
	_, page := lead.do("GET", "/api/forays/"+foray(t, s, "O01"), nil, "")
	var y map[string]any
	if err := json.Unmarshal([]byte(page), &y); err != nil {
		t.Fatal(err)
	}
	y["note"] = text
	changed, err := json.Marshal(y)
	if err != nil {
		t.Fatal(err)
	}
	must(lead, "PUT", "/api/forays/"+foray(t, s, "O01"), string(changed))
	if status, answer := other.do("GET", "/api/kept/"+who+"/mentions", nil, ""); status != 403 {
		t.Errorf("a recorder searches for somebody's name: %d %s", status, answer)
	}
	_, body := lead.do("GET", "/api/kept/"+who+"/mentions", nil, "")
	var found app.MentionsPage
	if err := json.Unmarshal([]byte(body), &found); err != nil {
		t.Fatal(err)
	}
	ids, where := []string{}, []string{}
	for _, m := range found.Mentions {
		if string(m.ID) != plant {
			ids = append(ids, fmt.Sprintf("%q", m.ID))
			where = append(where, m.Where)
		}
		if string(m.ID) == record && m.Former {
			t.Error("the name still stands in who named it, and is said to stand in the history alone")
		}
	}
	if len(ids) != 4 || len(found.Mentions) != 5 || !slices.Contains(found.Names, names[0]) {
		t.Fatalf("found %q by the names %q, want a record, a slip, a pass, a foray, and a plant", where, found.Names)
	}
	return "[" + strings.Join(ids, ",") + "]"
}

// Somebody asks for their name to be taken out, takes it back, asks again; the
// coordinator sees it, declines by a set sentence, or does it.
func TestAskingForANameToBeTakenOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	mine, desk, me := newClient(t, s, h, "R08"), newClient(t, s, h, "R02"), s.As("R08").Person
	ask := func(more string) (status int, page app.KeptPage) {
		t.Helper()
		status, body := mine.do("POST", "/api/kept/me/ask", []byte(fmt.Sprintf(`{"id":%q%s}`, s.ID(), more)), "application/json")
		_ = json.Unmarshal([]byte(body), &page) // a refusal has no page
		return status, page
	}
	wishes := func() (page app.WishesPage) {
		t.Helper()
		status, body := desk.do("GET", "/api/wishes", nil, "")
		if err := json.Unmarshal([]byte(body), &page); err != nil || status != 200 {
			t.Fatalf("%d %s", status, body)
		}
		return page
	}
	for range 2 { // asking twice asks once
		if status, page := ask(""); status != 200 || page.Asked == nil || !page.Asked.Open || !page.Asked.ByMe {
			t.Fatalf("%d %+v", status, page.Asked)
		}
	}
	if w := wishes(); w.Open != 1 || w.Wishes[0].Name != me.Name || w.Wishes[0].By != "" {
		t.Fatalf("the desk sees %+v", w)
	}
	if _, page := ask(`,"pictures":true`); !page.Asked.Pictures || wishes().Open != 1 {
		t.Error("asking for more did not take the place of asking for less")
	}
	if status, _ := ask(`,"why":"because"`); status != 422 {
		t.Errorf("free words were taken: %d", status)
	}
	if status, body := newClient(t, s, h, "R01").do("POST", "/api/kept/"+string(me.ID)+"/ask", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); status != 404 {
		t.Errorf("asked for by another: %d %s", status, body)
	}
	if status, body := mine.do("POST", "/api/kept/me/ask-no-more", []byte(`{}`), "application/json"); status != 200 || wishes().Open != 0 {
		t.Errorf("taken back: %d %s", status, body)
	}
	ask("")
	id := string(wishes().Wishes[0].ID)
	for how, want := range map[string]int{"because I say so": 422, "done": 422, "taken back": 422} {
		if status, _ := desk.do("POST", "/api/wishes/"+id+"/decline", []byte(fmt.Sprintf(`{"how":%q}`, how)), "application/json"); status != want {
			t.Errorf("declined by %q: %d", how, status)
		}
	}
	if status, body := desk.do("POST", "/api/wishes/"+id+"/decline", []byte(`{"how":"unsure"}`), "application/json"); status != 200 || !strings.Contains(body, `"open":0`) {
		t.Errorf("declined: %d %s", status, body)
	}
	if _, body := mine.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, "speak to them") {
		t.Errorf("the answer does not arrive: %s", body)
	}
	ask("")
	if status, body := desk.do("POST", "/api/kept/"+string(me.ID)+"/take-out", []byte(fmt.Sprintf(`{"name":%q}`, me.Name)), "application/json"); status != 200 {
		t.Fatalf("done: %d %s", status, body)
	}
	if w := wishes(); w.Open != 0 || w.Wishes[0].Name != trug.NameTakenOut || !strings.HasPrefix(w.Wishes[0].Says, "Done") {
		t.Errorf("afterwards the desk sees %+v", w.Wishes[0])
	}
	if _, body := desk.do("GET", "/api/audit?what=changes", nil, ""); strings.Count(body, "asked for a name to be taken out") != 4 || !strings.Contains(body, "took somebody's name out of the season") ||
		!strings.Contains(body, "settled the wish for a name to be taken out: taken back") {
		t.Errorf("the audit: %s", body)
	}
}

// A record that its recorder takes out is in no answer and no deposit, and
// comes back when they put it back.
func TestTakingARecordOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	mine, id := newClient(t, s, h, "R08"), string(s.ID())
	if status, body := mine.do("PUT", "/api/records/"+id, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"zzyzx","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	path := "/api/records/" + id
	for code, want := range map[string]int{"R01": 403, "D1": 403, "": 401} {
		if status, body := newClient(t, s, h, code).do("POST", path+"/take-out", []byte(`{}`), "application/json"); status != want {
			t.Errorf("taken out by %q: %d %s", code, status, body)
		}
	}
	for _, back := range []bool{false, true} {
		for range 2 {
			status, body := mine.do("POST", path+"/take-out", []byte(fmt.Sprintf(`{"back":%t}`, back)), "application/json")
			if status != 200 || strings.Contains(body, `"out":true`) == back {
				t.Errorf("back %t: %d %s", back, status, body)
			}
		}
		for _, code := range []string{"R08", "R01", "D1", "R02"} {
			c := newClient(t, s, h, code)
			sheet, _ := c.do("GET", path, nil, "")
			_, book := c.do("GET", "/api/records?text=zzyzx", nil, "")
			if stands := sheet == 200 && strings.Contains(book, id); stands != back {
				t.Errorf("back %t: %s is shown it: %t", back, code, stands)
			}
		}
	}
	if status, _ := newClient(t, s, h, "R02").do("POST", path+"/take-out", []byte(`{}`), "application/json"); status != 200 {
		t.Errorf("the coordinator: %d", status)
	}
	if files := deposit(t, s, h); strings.Contains(files, "zzyzx") {
		t.Error("the deposit bears it")
	}
}

// The adult of a child reads, copies, takes out and asks for them; the child
// does it for themselves, and neither for anybody else.
func TestAnAdultActsForTheirChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	made, err := s.Person(t.Context(), s.As("R02"), s.As("R08").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	made.Minor, made.Guardian, made.Roles, made.Name, made.Credit = true, s.As("R03").Person.ID, []trug.Role{trug.RecorderRole}, "Wren", ""
	if _, err := s.SavePerson(t.Context(), s.As("R02"), made.ID, made); err != nil {
		t.Fatal(err)
	}
	child, adult, stranger, id := newClient(t, s, h, "R08"), newClient(t, s, h, "R03"), newClient(t, s, h, "R06"), string(made.ID)
	record := string(s.ID())
	if status, body := child.do("PUT", "/api/records/"+record, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	if _, body := adult.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, `"children":[{"id":"`+id) {
		t.Errorf("the adult's page does not lead to the child's: %s", body)
	}
	for _, q := range []struct{ method, path, body string }{
		{"GET", "/api/kept/" + id, ""}, {"GET", "/api/kept/" + id + "/copy.zip", ""},
		{"POST", "/api/records/" + record + "/take-out", `{}`}, {"POST", "/api/records/" + record + "/take-out", `{"back":true}`},
		{"POST", "/api/kept/" + id + "/ask", fmt.Sprintf(`{"id":%q}`, s.ID())}, {"POST", "/api/kept/" + id + "/ask-no-more", `{}`},
	} {
		for _, c := range []struct {
			who    string
			client client
			well   bool
		}{{"a stranger", stranger, false}, {"the adult", adult, true}, {"the child", child, true}} {
			if status, body := c.client.do(q.method, q.path, []byte(q.body), "application/json"); (status == 200) != c.well {
				t.Errorf("%s: %s %s: %d %s", c.who, q.method, q.path, status, body)
			}
		}
	}
	if status, _ := child.do("GET", "/api/kept/"+string(made.Guardian), nil, ""); status != 404 {
		t.Errorf("the child reads what is kept about the adult: %d", status)
	}
	// Asked by the adult, read by the child: who asked is told apart.
	if _, body := adult.do("POST", "/api/kept/"+id+"/ask", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); !strings.Contains(body, `"byMe":true`) {
		t.Errorf("the adult asked: %s", body)
	}
	if _, body := child.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, `"byMe":false`) {
		t.Errorf("the child reads that they asked themselves: %s", body)
	}
	if _, body := newClient(t, s, h, "R02").do("GET", "/api/wishes", nil, ""); !strings.Contains(body, `"by":"`+s.As("R03").Person.Name) {
		t.Errorf("the desk does not see who asked: %s", body)
	}
}
