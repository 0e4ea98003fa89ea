package dwca

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/science/describe"
	"trug/science/place"
)

func written(t testing.TB, d Dataset) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatalf("Write: %v", err)
	}
	return b.Bytes()
}

func readBack(zip []byte) (Dataset, error) {
	return Read(bytes.NewReader(zip), int64(len(zip)), DefaultLimits)
}

// checkRound writes d, reads it back and compares with the tidied dataset.
func checkRound(t *testing.T, d Dataset) {
	t.Helper()
	got, err := readBack(written(t, d))
	if err != nil {
		t.Fatalf("Read: %v", err)
	}
	want := tidy(d)
	if !reflect.DeepEqual(got, want) {
		t.Fatal("not the same after writing and reading: ", difference(reflect.ValueOf(got), reflect.ValueOf(want), "dataset"))
	}
}

// difference names the first part in which two values differ.
func difference(got, want reflect.Value, path string) string {
	switch got.Kind() {
	case reflect.Pointer:
		if !got.IsNil() && !want.IsNil() {
			return difference(got.Elem(), want.Elem(), path)
		}
	case reflect.Struct:
		if _, ok := got.Interface().(time.Time); ok {
			break
		}
		for i := range got.NumField() {
			if !reflect.DeepEqual(got.Field(i).Interface(), want.Field(i).Interface()) {
				return difference(got.Field(i), want.Field(i), path+"."+got.Type().Field(i).Name)
			}
		}
	case reflect.Slice:
		for i := range min(got.Len(), want.Len()) {
			if !reflect.DeepEqual(got.Index(i).Interface(), want.Index(i).Interface()) {
				return difference(got.Index(i), want.Index(i), fmt.Sprintf("%s[%d]", path, i))
			}
		}
	}
	return fmt.Sprintf("%s is %#v, not %#v", path, got, want)
}

func TestWriteThenReadSample(t *testing.T) {
	checkRound(t, sample())
	d := sample()
	d.BaseURL = ""
	checkRound(t, d)
	checkRound(t, Dataset{
		Public: d.Public, PackageID: d.PackageID, Number: 1, Date: d.Date, Stamp: d.Stamp, Title: "T", Place: "P",
		Box: d.Box, Starts: d.Starts, Ends: d.Starts, Zone: "Europe/Oslo", Licence: trug.CC0,
		RightsHolder: "R", BasisOfRecord: "MachineObservation",
	})
}

// TestSampleIsTidy holds that an ordinary dataset comes back as it was, but
// for order and the authorship of an aff. name.
func TestSampleIsTidy(t *testing.T) {
	d := tidy(sample())
	named := d.Finds[1]
	want := sampleNamed()
	want.Views[0], want.Views[1] = want.Views[1], want.Views[0]
	want.Slips[0], want.Slips[1] = want.Slips[1], want.Slips[0]
	if !reflect.DeepEqual(named, want) {
		t.Error(difference(reflect.ValueOf(named), reflect.ValueOf(want), "find"))
	}
	if got := d.Finds[0].Name.Authorship; got != "" {
		t.Errorf("the aff. name keeps the authorship %q", got)
	}
}

func TestWriteThenReadAnything(t *testing.T) {
	for seed := range uint64(400) {
		g := generator{rand.New(rand.NewPCG(seed, 1))}
		d := g.dataset()
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			checkRound(t, d)
			if once, twice := tidy(d), tidy(tidy(d)); !reflect.DeepEqual(once, twice) {
				t.Fatal("tidying twice differs: ", difference(reflect.ValueOf(twice), reflect.ValueOf(once), "dataset"))
			}
		})
	}
}

func TestWriteIsDeterministic(t *testing.T) {
	d := sample()
	first := written(t, d)
	d.Finds[0], d.Finds[2] = d.Finds[2], d.Finds[0]
	if !bytes.Equal(first, written(t, d)) {
		t.Error("the order in which finds are given changes the archive")
	}
}

// generator makes datasets that may be published, as odd as they can be.
type generator struct{ *rand.Rand }

var oddPieces = []string{
	"", " ", "a", "Russula", "é", "\t", "\n", "\r\n", "\u2028", "\u0085", "\v", "\f", "\x00", "\x1b", "|", " | ", "\"", "'", "\\",
	"{", "}", "<", "&", "]]>", "</para>", ".", "; ", ",", "cf.", " cf. ", " aff. ", " sp.", " agg.", "𝔽", "\xff", "\ufeff", "\uffff",
	NameWithheld, countRemark, slipCurrent + ".", inventedMark, checklistNone, " and ", "from ", "/", "=SUM(A1)", "0", "\u00a0", "中", "a\u0301",
}

func (g generator) text() string {
	var b strings.Builder
	for range g.IntN(6) {
		b.WriteString(oddPieces[g.IntN(len(oddPieces))])
	}
	return b.String()
}

// some is text that is not empty once tidied.
func (g generator) some() string { return "x" + g.text() }

func (g generator) id() trug.PublicID {
	id, err := trug.NewPublicID(randomBytes(g))
	if err != nil {
		panic(err)
	}
	return id
}

type randomBytes struct{ *rand.Rand }

func (r randomBytes) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(r.Uint32())
	}
	return len(p), nil
}

func pick[T any](g generator, list []T) T { return list[g.IntN(len(list))] }

func (g generator) date() trug.Date {
	return trug.DateOf(time.Date(2026, 1, 1+g.IntN(900), 0, 0, 0, 0, time.UTC))
}

func (g generator) when() trug.When {
	w := trug.When{Date: g.date()}
	if g.IntN(2) == 0 {
		w.Time = fmt.Sprintf("%02d:%02d", g.IntN(24), g.IntN(60))
		if g.IntN(2) == 0 {
			w.Time += ":07"
		}
		w.Offset = pick(g, []string{"", "Z", "+01:00", "-11:30"})
	}
	return w
}

func (g generator) place(source trug.PlaceSource) *trug.Place {
	if g.IntN(4) == 0 {
		return nil
	}
	p := &trug.Place{Source: source, Verbatim: g.text(), Position: place.Position{
		Lat: place.Degrees(g.Float64()*180 - 90), Lon: place.Degrees(g.Float64()*360 - 180)}}
	switch g.IntN(3) {
	case 0:
		p.Uncertainty, p.Precision = place.Metres(g.ExpFloat64()*100), 1e-6
	case 1:
		p.Position = place.Position{}
	}
	return p
}

func (g generator) name() Name {
	n := Name{Name: g.some(), Authorship: g.text(), Kingdom: g.text(), Family: g.text(), Qualifier: pick(g, trug.Qualifiers)}
	if g.IntN(2) == 0 {
		n = Name{Name: "Russula fellea", Authorship: "(Fr.) Fr.", Kingdom: "Fungi", Family: "Russulaceae", Qualifier: n.Qualifier}
	}
	switch n.Qualifier {
	case trug.Sp:
		n.Rank = trug.Genus
	case trug.NoQualifier:
		n.Rank = pick(g, []trug.Rank{trug.Species, trug.Genus, trug.Family, trug.Kingdom})
	default:
		n.Rank = pick(g, []trug.Rank{trug.Species, trug.Genus})
	}
	return n
}

func (g generator) people() []string {
	var list []string
	for range g.IntN(4) {
		list = append(list, g.text())
	}
	return list
}

func (g generator) dataset() Dataset {
	d := Dataset{
		Public: g.id(), PackageID: g.id(), Number: 1 + g.IntN(9), Date: g.date(),
		Stamp: time.Unix(1.8e9+g.Int64N(1e8), g.Int64N(1e9)), Title: g.some(), Place: g.some(), Abstract: g.text() + "\n" + g.text(),
		Box:    place.Box{South: place.Degrees(-89 * g.Float64()), North: place.Degrees(89*g.Float64() + 0.1), West: place.Degrees(-180 * g.Float64()), East: place.Degrees(0.1 + 179*g.Float64())},
		Starts: g.date(), Zone: pick(g, []string{"Etc/GMT+1", "Europe/Oslo", "UTC", "Asia/Kathmandu"}),
		Licence: pick(g, []trug.Licence{trug.CC0, trug.CCBY, trug.CCBYNC}), RightsHolder: g.some(), Contact: g.text(),
		ContactAddress: g.text(), Checklist: g.text(), BasisOfRecord: pick(g, basesOfRecord), Country: pick(g, []string{"", "NO"}),
		BaseURL: pick(g, []string{"", "https://a.example", "http://b.example:8080/event/x/"}), Invented: g.IntN(2) == 0,
	}
	d.Ends = d.Starts
	if g.IntN(2) == 0 {
		d.Survey = g.scope()
	}
	for range g.IntN(4) {
		f := Foray{Public: g.id(), Code: g.text(), Name: g.text(), Date: g.date(), SiteName: g.text(), Habitat: g.text(),
			People: g.IntN(3), Minutes: g.IntN(3), Leader: g.text(), Place: g.place("")}
		if f.Visit = g.IntN(3) == 0; f.Visit {
			f.Leader = ""
		}
		g.survey(&f)
		if g.IntN(2) == 0 {
			f.Start, f.End, f.Offset = "09:30", pick(g, []string{"", "09:30", "23:59:59"}), pick(g, []string{"", "Z", "+05:45"})
			f.EndDate = pick(g, []trug.Date{"", f.Date, "2029-01-01"})
		}
		d.Forays = append(d.Forays, f)
	}
	for range g.IntN(6) {
		d.Finds = append(d.Finds, g.find(&d))
	}
	return d
}

func (g generator) find(d *Dataset) Find {
	f := Find{Public: g.id(), Found: g.when(), Locality: g.text(), Habitat: g.text(), RecordedBy: g.people(),
		Place:     g.place(pick(g, []trug.PlaceSource{"", trug.FromCamera, trug.FromPhone, trug.FromPin, trug.FromText})),
		FieldName: trug.FieldName{Name: g.text(), By: g.text()}, NumberSeen: g.IntN(3), Form: g.text(), Substrate: g.text(),
		Habit: g.text(), Ripeness: g.text(), Smell: g.text(), SporePrint: g.text(), Host: g.text(), Voucher: g.text(),
		Remarks: g.text(), Status: g.text(), IdentifiedBy: g.people(), Generalisations: g.text(), Withheld: g.text()}
	if g.IntN(4) == 0 {
		f.Found, f.Month = trug.When{}, "2026-02"
	}
	f.Description = g.text()
	for i := range g.IntN(4) {
		f.Facts = append(f.Facts, g.fact(fmt.Sprintf("character_%d", i)))
	}
	for range g.IntN(3) {
		f.Colours = append(f.Colours, g.colour())
	}
	if len(d.Forays) > 0 && g.IntN(2) == 0 {
		f.Foray = pick(g, d.Forays).Public
	}
	if g.IntN(3) > 0 {
		f.Name = g.name()
		f.DateIdentified = pick(g, []trug.Date{"", g.date()})
	}
	for range g.IntN(4) {
		v := View{Public: g.id(), Kind: pick(g, trug.ViewKinds), By: g.text(), Width: g.IntN(3), Height: g.IntN(5000), Owner: g.text(),
			Licence: pick(g, []trug.Licence{"", trug.CC0, trug.CCBY}), Hash: pick(g, []trug.Hash{"", trug.Hash(strings.Repeat("0f", 32))})}
		if g.IntN(2) == 0 {
			v.Taken = g.when()
		}
		f.Views = append(f.Views, v)
	}
	for range g.IntN(4) {
		s := Slip{Public: g.id(), Name: g.name(), By: g.text(), Date: g.date(), Independent: g.IntN(2) == 0, Current: g.IntN(2) == 0, Remark: g.text()}
		for range g.IntN(4) {
			s.Basis = append(s.Basis, pick(g, trug.Bases))
		}
		f.Slips = append(f.Slips, s)
	}
	return f
}

// colour is a colour that may be any.
func (g generator) colour() Color {
	x := Color{Character: pick(g, []string{"", "cap_color", "flesh_color"}), Label: "Cap colours", Name: "light brown", Munsell: "N 5.0/", Ridgway: "Bay", Where: "rim", Method: "by its greys. Alone"}
	for i := range x.Lab {
		x.Lab[i] = 100 * g.Float64()
	}
	for i := range x.Covariance {
		x.Covariance[i] = 40 * g.Float64()
	}
	x.GiveOrTake, x.RidgwayOff, x.Share = .01+9*g.Float64(), 20*g.Float64(), g.Float64()
	x.Number = 1 + g.IntN(3)
	x.Of = x.Number + g.IntN(2)
	return x
}

// fact is a fact that may say anything of its character.
func (g generator) fact(character string) Fact {
	x := Fact{Character: character, Label: g.some(), Unit: g.text(), Blank: pick(g, []describe.Blank{"", "", describe.NotLookedFor, describe.NotVisible, describe.Absent})}
	switch {
	case g.IntN(2) == 0:
		for i := range 1 + g.IntN(3) {
			x.States = append(x.States, FactState{fmt.Sprintf("s%d", i), g.some()})
		}
		x.Either = len(x.States) > 1 && x.Blank == "" && g.IntN(2) == 0
	case x.Blank == "":
		x.Unit = g.some() // a number has one
		low := float64(g.IntN(1000)) / 10
		x.Number = describe.Between(low, low+float64(g.IntN(3))).String()
		x.Uncertainty = float64(g.IntN(3)) * 0.3
	}
	return x
}
