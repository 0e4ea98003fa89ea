package demo

import (
	"sort"
	"strings"
	"time"

	"trug"
	"trug/internal/demo/paint"
)

// Picture is a photograph of a demo record, still to be drawn.
type Picture struct {
	ViewID   trug.ID
	Public   trug.PublicID
	RecordID trug.ID
	By       trug.ID
	Kind     trug.ViewKind
	FileName string
	Taken    time.Time
	find     paint.Find
	shot     paint.Shot
	camera   paint.Camera
}

// Draw draws the photograph and returns it as a JPEG file with the metadata
// that a phone would write.
func (p Picture) Draw() ([]byte, error) { return paint.Photograph(p.find, p.shot, p.camera) }

// columns are the view columns of the records with the painter's views.
var columns = []struct {
	column string
	kind   trug.ViewKind
	view   paint.View
}{
	{"view_top", trug.Top, paint.Top}, {"view_side", trug.Side, paint.Side}, {"view_underside", trug.Underneath, paint.Underneath},
	{"view_surroundings", trug.Surroundings, paint.Surroundings}, {"view_section", trug.Cut, paint.Cut}, {"view_base", trug.Base, paint.Base},
}

// pictures lists the photographs of the season's records: of finds that wait
// for a name first, then of the newest days.
func (s *Season) pictures() {
	species, truth, lines := by(table("species"), "species_code"), by(table("truth"), "record_id"), by(table("records"), "record_id")
	named := map[trug.ID]bool{}
	for _, d := range s.Determinations {
		named[d.RecordID] = true
	}
	for _, rec := range s.Records {
		r, t := lines[rec.Number], truth[rec.Number]
		find := findOf(r, t, species[t["species_code"]])
		for i, c := range columns {
			if !r.yes(c.column) {
				continue
			}
			taken := rec.Created.Add(time.Duration(i) * 50 * time.Second).In(time.FixedZone("", -3600))
			s.Pictures = append(s.Pictures, Picture{
				ViewID: id(taken, rec.Number, string(c.kind)), Public: public(rec.Number, string(c.kind)), RecordID: rec.ID, By: rec.RecorderID,
				Kind: c.kind, FileName: strings.ReplaceAll(rec.Number, "W26-", "IMG_") + "_" + string(rune('a'+i)) + ".jpg", Taken: taken, find: find,
				shot:   spoiled(rec.Number, paint.Shot{View: c.view, Card: r.yes("card_in_picture") && (c.view == paint.Top || c.view == paint.Side), Sharp: r.yes("sharp"), ExposureOK: r.yes("exposure_ok"), TiltDeg: r.number("card_tilt_deg")}),
				camera: cameraOf(rec, r, taken),
			})
		}
	}
	sort.SliceStable(s.Pictures, func(i, j int) bool {
		a, b := s.Pictures[i], s.Pictures[j]
		if named[a.RecordID] != named[b.RecordID] {
			return !named[a.RecordID]
		}
		return a.Taken.Format(time.DateOnly) > b.Taken.Format(time.DateOnly)
	})
}

// findOf gives the painter the true size and colour of a find.
func findOf(r, truth, species row) paint.Find {
	host := r["host"]
	if host == "" {
		host, _, _ = strings.Cut(species["host"], ";")
	}
	return paint.Find{
		Seed: seed(r["record_id"]), Form: species["form"], WidthMM: truth.number("true_width_mm"), HeightMM: truth.number("true_height_mm"),
		StemLengthMM: truth.number("true_stem_length_mm"), StemWidthMM: truth.number("true_stem_width_mm"),
		L: species.number("lab_L"), A: species.number("lab_a"), B: species.number("lab_b"), ColourWords: species["colour_words"],
		SporePrint: species["spore_print"], Substrate: r["substrate"], Host: host, Habit: r["habit"], Ripeness: r["ripeness"],
		NumberSeen: int(r.number("number_seen")),
	}
}

func seed(record string) uint64 {
	var n uint64
	for _, c := range []byte(sum("seed", record)[:16]) {
		n = n<<4 | uint64(strings.IndexByte("0123456789abcdef", c))
	}
	return n
}

// cameraOf is the invented phone of a recorder. A pin on the map means that
// the phone wrote no place.
func cameraOf(rec trug.Record, r row, taken time.Time) paint.Camera {
	c := paint.Camera{Make: "Hollin", Model: "Pocket " + r["recorder_id"][1:], Taken: taken, HasOffset: true}
	if r["location_source"] == "phone" {
		c.HasPlace, c.Lat, c.Lon = true, float64(rec.Place.Position.Lat), float64(rec.Place.Position.Lon)
		c.AccuracyM = float64(rec.Place.Uncertainty) / 2
	}
	return c
}

// spoiled says what is wrong with the card in a view from above: of ten finds,
// about one has it bent, one covered in part and two half in the shade.
func spoiled(number string, s paint.Shot) paint.Shot {
	if !s.Card || s.View != paint.Top {
		return s
	}
	switch n := seed(number+" card") % 20; {
	case n < 2:
		s.BendMM = 2 + float64(n)*2
	case n < 4:
		s.Covered = true
	case n < 8:
		s.Shaded = true
	}
	return s
}

// TrueWidth returns the greatest width that the painter draws, in mm, and whether
// the picture can tell it: a round cap from above, sharp, with the card beside it.
func (p Picture) TrueWidth() (mm float64, ok bool) {
	return p.find.WidthMM, p.shot.View == paint.Top && p.shot.Card && (p.find.Form == "gilled" || p.find.Form == "bolete")
}

// RimWave returns by how many mm the painted cap's rim rises and falls about the
// height of the card's middle, beside which it is painted.
func (p Picture) RimWave() (mm float64) { return paint.RimWaveMM(p.find) }
