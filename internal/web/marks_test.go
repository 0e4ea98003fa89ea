package web

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

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
