package web

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/demo"
	"trug/science/place"
)

// secret is what must not be learnt of one protected find.
type secret struct {
	record trug.Record
	// words are texts that give the place away in some notation.
	words []string
}

// secrets lists the protected finds of the invented season: those of its three
// sensitive species by any name ever given, worked out here by hand from the
// files and not by the program's own rule.
func secrets(t *testing.T, d demo.Season) []secret {
	t.Helper()
	sensitive := []string{"Hericium", "Porpolomopsis", "Poronia"}
	names := map[trug.ID][]string{}
	for _, x := range d.Determinations {
		names[x.RecordID] = append(names[x.RecordID], x.Name)
	}
	var out []secret
	for _, r := range d.Records {
		all := strings.Join(append(names[r.ID], r.FieldName.Name), "|")
		for _, genus := range sensitive {
			if strings.Contains(all, genus) {
				out = append(out, secret{r, notations(t, r.Place.Position)})
				break
			}
		}
	}
	if len(out) < 8 {
		t.Fatalf("%d protected finds in the invented season; there are more", len(out))
	}
	return out
}

// gardens has recorders say of some of their finds, on open ground and on private,
// that they stand in their own garden.
func gardens(t *testing.T, s apptest.Season) (out []secret) {
	t.Helper()
	kept := map[trug.ID]bool{}
	for _, x := range secrets(t, s.Demo) {
		kept[x.record.ID] = true
	}
	for i, r := range s.Demo.Records {
		if i%40 != 7 || kept[r.ID] || r.Place == nil {
			continue
		}
		for _, p := range s.Demo.People {
			if p.ID != r.RecorderID {
				continue
			}
			sheet, err := s.App.Record(t.Context(), s.As(p.Code), r.ID)
			if err != nil {
				t.Fatal(err)
			}
			e := *sheet.Editable
			e.Garden, e.OutsideIsOK, e.DateIsOK = true, true, true
			if sheet, err = s.SaveRecord(t.Context(), s.As(p.Code), r.ID, e); err != nil {
				t.Fatal(err)
			}
			if !sheet.Place.Garden || !sheet.Place.Known || !strings.Contains(sheet.Place.Says, "own garden") {
				t.Errorf("its own recorder reads %+v", sheet.Place)
			}
			out = append(out, secret{r, notations(t, r.Place.Position)})
		}
	}
	if len(out) < 3 {
		t.Fatalf("only %d finds in gardens", len(out))
	}
	return out
}

// A deposit says of a find in its recorder's garden that its place is made coarse,
// how, and at whose wish; determiners and the coordinator know the spot.
func TestDepositSaysThatAGardenIsKeptBack(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	list := gardens(t, s)
	var archive bytes.Buffer
	if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), &archive); err != nil {
		t.Fatal(err)
	}
	files := open(t, archive.Bytes())
	for _, x := range list {
		row := ""
		for line := range strings.SplitSeq(files["occurrence.txt"]+files["event.txt"], "\n") {
			if strings.Contains(line, string(x.record.Public)) {
				row += line
			}
		}
		for _, says := range []string{"at the recorder's wish", "it was found in the recorder's own garden", "Place given as the square"} {
			if !strings.Contains(row, says) {
				t.Errorf("%s: the deposit does not say %q: %s", x.record.Number, says, row)
			}
		}
		for _, who := range []string{"R02", "D1"} {
			if sheet, err := s.App.Record(t.Context(), s.As(who), x.record.ID); err != nil || !sheet.Place.Garden || !sheet.Place.Known || sheet.Site != "" {
				t.Errorf("%s reads %+v, %q, %v", who, sheet.Place, sheet.Site, err)
			}
		}
	}
}

// notations writes a position in every notation that could slip out: decimal
// degrees from three decimals on, degrees and minutes, degrees, minutes and
// seconds, UTM in metres, squares of 1 km and 100 m, and MGRS.
func notations(t *testing.T, p place.Position) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for decimals := 3; decimals <= 6; decimals++ {
		for _, x := range []float64{float64(p.Lat), math.Abs(float64(p.Lon))} {
			cut := math.Pow(10, float64(decimals))
			add("%.*f", decimals, x)
			add("%.*f", decimals, math.Trunc(x*cut)/cut)
		}
	}
	for _, x := range []float64{float64(p.Lat), math.Abs(float64(p.Lon))} {
		minutes := math.Mod(x, 1) * 60
		add("%d° %.3f", int(x), minutes)
		add("%d° %d′ %d", int(x), int(minutes), int(math.Mod(minutes, 1)*60))
		add("%d°%d'%d", int(x), int(minutes), int(math.Mod(minutes, 1)*60))
	}
	u, _, err := place.ToUTM(p)
	if err != nil {
		t.Fatal(err)
	}
	add("%06.0f", float64(u.Easting))
	add("%07.0f", float64(u.Northing))
	for _, side := range []place.Metres{100, 1000} {
		sq, err := place.SquareOf(p, side)
		if err != nil {
			t.Fatal(err)
		}
		add("%s", sq.Name())
		add("%s", strings.ReplaceAll(sq.Name(), " ", ""))
	}
	for _, step := range []place.Metres{1, 100, 1000} {
		if m, err := place.MGRS(p, step); err == nil {
			add("%s", m)
		}
	}
	return out
}

// open returns every file of an archive as text.
func open(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		out[f.Name] = string(text)
	}
	return out
}

// withPhotographs gives each protected find a photograph with its place in it.
func withPhotographs(t *testing.T, s apptest.Season, list []secret) {
	t.Helper()
	for i, x := range list {
		var own app.Viewer
		for _, p := range s.Demo.People {
			if p.ID == x.record.RecorderID {
				own = s.As(p.Code)
			}
		}
		p, err := s.TakePhotograph(t.Context(), own, x.record.Number+".jpg", bytes.NewReader(apptest.JPEG(t, uint64(1000+i))))
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := s.App.Record(t.Context(), own, x.record.ID)
		if err != nil {
			t.Fatal(err)
		}
		e := *sheet.Editable
		e.Views = append(e.Views, app.EditableView{Photograph: p.ID, Kind: trug.Top})
		e.Remarks = "by the old gate at " + s.Demo.Sites[0].Name
		if _, err := s.SaveRecord(t.Context(), own, x.record.ID, e); err != nil {
			t.Fatal(err)
		}
	}
}

// Every byte of a deposit is read for the protected finds' places in any
// notation, and their rows for foray, day, photograph, number and recorder.
func TestDepositKeepsProtectedPlaces(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	list := append(secrets(t, s.Demo), gardens(t, s)...)
	withPhotographs(t, s, list)
	var archive bytes.Buffer
	if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), &archive); err != nil {
		t.Fatal(err)
	}
	files := open(t, archive.Bytes())
	neighbours := openPlaces(s, list)
	for name, text := range files {
		for _, x := range list {
			leaks(t, name, text, x, neighbours)
		}
		if strings.Contains(text, "W26-") {
			t.Errorf("%s bears field numbers: their gaps would tell when a withheld find was made", name)
		}
	}
	for _, x := range list {
		rowsOf(t, files, x, s)
	}
}

// openPlaces is the text of every notation of places that are published: what
// a protected find shares with them (the same 1 km square) gives nothing away.
func openPlaces(s apptest.Season, list []secret) string {
	hidden := map[trug.ID]bool{}
	for _, x := range list {
		hidden[x.record.ID] = true
	}
	var b strings.Builder
	for _, r := range s.Demo.Records {
		if !hidden[r.ID] {
			fmt.Fprintf(&b, "%.6f %.6f\n", r.Place.Position.Lat, r.Place.Position.Lon)
			if u, _, err := place.ToUTM(r.Place.Position); err == nil {
				fmt.Fprintf(&b, "%06.0f %07.0f\n", float64(u.Easting), float64(u.Northing))
			}
			// Of open finds on private ground the square of 1 km is told.
			if sq, err := place.SquareOf(r.Place.Position, 1000); err == nil && private(s, r.SiteID) {
				fmt.Fprintln(&b, sq.Name())
			}
		}
	}
	for _, site := range s.Demo.Sites {
		fmt.Fprintf(&b, "%v %v\n", site.Centre.Lat, site.Centre.Lon)
	}
	// The map's own lines are nobody's find.
	b.Write(s.Demo.Ground)
	return b.String()
}

// private reports whether a site of the invented season is private ground.
func private(s apptest.Season, id trug.ID) bool {
	return slices.ContainsFunc(s.Demo.Sites, func(x trug.Site) bool { return x.ID == id && !x.Open })
}

// A deposit tells of finds on private ground the square of 1 km, and neither
// the spot nor what the ground is called; so it tells of forays there.
func TestDepositKeepsPrivateGround(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	var archive bytes.Buffer
	if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), &archive); err != nil {
		t.Fatal(err)
	}
	files, n := open(t, archive.Bytes()), 0
	for name, text := range files {
		if strings.Contains(text, "Quarterpenny") {
			t.Errorf("%s names the private pasture", name)
		}
		for _, r := range s.Demo.Records {
			if !private(s, r.SiteID) || r.Place == nil {
				continue
			}
			n++
			for _, spot := range []string{fmt.Sprintf("%.4f\t%.4f", r.Place.Position.Lat, r.Place.Position.Lon), fmt.Sprintf("%.6f", r.Place.Position.Lat)} {
				if strings.Contains(text, spot) {
					t.Errorf("%s tells %s of %s on private ground", name, spot, r.Number)
				}
			}
		}
	}
	if n == 0 || !strings.Contains(files["event.txt"], "it lies on private ground") {
		t.Errorf("%d finds on private ground, and the deposit does not say how their place was made coarse", n)
	}
}

func leaks(t *testing.T, where, text string, x secret, neighbours string) {
	t.Helper()
	for _, w := range append(x.words, string(x.record.ID)) {
		if strings.Contains(text, w) && !strings.Contains(neighbours, w) {
			t.Errorf("%s tells %q of the protected find %s", where, w, x.record.Number)
		}
	}
}

// rowsOf looks at every row that hangs on a protected find.
func rowsOf(t *testing.T, files map[string]string, x secret, s apptest.Season) {
	t.Helper()
	public := string(x.record.Public)
	day := regexp.MustCompile(`2026-\d\d-\d\d`)
	found := false
	for name, text := range files {
		for _, line := range strings.Split(text, "\n") {
			if !strings.Contains(line, public) {
				continue
			}
			found = true
			if name == "media.txt" {
				t.Errorf("a photograph of the protected find %s is published", x.record.Number)
			}
			if d := day.FindString(line); d != "" {
				t.Errorf("%s tells a day, %s, of the protected find %s", name, d, x.record.Number)
			}
			for _, p := range s.Demo.People {
				if p.ID == x.record.RecorderID && (strings.Contains(line, p.Name) || strings.Contains(line, p.Credit)) {
					t.Errorf("%s names the recorder of the protected find %s", name, x.record.Number)
				}
			}
			for _, y := range s.Demo.Forays {
				if strings.Contains(line, string(y.Public)) {
					t.Errorf("%s hangs the protected find %s on the foray %s", name, x.record.Number, y.Name)
				}
			}
			for _, site := range s.Demo.Sites {
				if strings.Contains(line, site.Name) || strings.Contains(line, site.Habitat[0]) {
					t.Errorf("%s tells the site or habitat of the protected find %s", name, x.record.Number)
				}
			}
		}
	}
	if !found {
		t.Errorf("the protected find %s is not in the deposit at all", x.record.Number)
	}
}

// What outsiders and other recorders can ask for is read as well: no
// protected find of somebody else's is there, in any notation.
func TestRoutesKeepProtectedPlaces(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	list := append(secrets(t, s.Demo), gardens(t, s)...)
	withPhotographs(t, s, list)
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	neighbours := openPlaces(s, list)
	for _, role := range []trug.Role{trug.Outsider, trug.RecorderRole, trug.Leader} {
		c := newClient(t, s, h, personOf[role])
		own := func(x secret) bool {
			return role != trug.Outsider && s.As(personOf[role]).Person.ID == x.record.RecorderID
		}
		read := func(path string) {
			_, body := c.do("GET", path, nil, "")
			if strings.HasSuffix(path, "/archive") {
				files := open(t, []byte(body))
				body = fmt.Sprint(files)
			}
			for _, x := range list {
				if !own(x) {
					leaks(t, path+" as "+string(role), body, x, neighbours)
				}
			}
		}
		for _, r := range (&server{app: s.App}).routes() {
			if r.method == "GET" {
				read(requests["GET "+r.path]().path)
			}
		}
		read("/api/records?limit=500")
		for _, x := range list {
			if own(x) {
				continue
			}
			read("/api/records/" + string(x.record.ID))
			read("/api/records?limit=500&text=" + x.record.Number)
			if status, body := c.do("GET", "/api/records/"+string(x.record.ID), nil, ""); status == 200 {
				t.Errorf("a protected find is there for %s: %s", role, body)
			}
		}
	}
}
