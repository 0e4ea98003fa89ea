package paper

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"trug"
	"trug/science/place"
)

// out is where TestSamples leaves the sheets for looking at.
var out = flag.String("out", "", "folder to write the sample sheets to")

// All people and places here are invented.
var head = Sheet{Season: "Vale of Wimbrel, fungi of 2026", Date: "2026-10-08"}

// ring is an uneven outline about a point, in metres east and north.
func ring(lat, lon float64, metres ...[2]float64) []place.Position {
	var r []place.Position
	for _, m := range metres {
		r = append(r, place.Position{Lat: place.Degrees(lat + m[1]/111200), Lon: place.Degrees(lon + m[0]/(111200*math.Cos(lat*math.Pi/180)))})
	}
	return r
}

func sampleLeader() LeaderData {
	return LeaderData{
		Sheet: head, Foray: "Stumps and sand", Code: "O07", Site: "Upper Tansel Pinery", Day: "2026-10-10", Start: "10:00", Back: "15:00",
		Leader: "Eszter Fogglethorpe", Headcount: 14,
		MeetingPoint: "Sand pit car park on Tansel Lane, by the green gate; the bus stops at Tansel Mill, ten minutes on foot",
		NearestRoad:  "Tansel Lane, gate 3; an ambulance can drive to the barrier",
		Square:       "27U 583 5382 (1 km)", Position: "48.5872 N, 19.8671 W, to 25 m",
		Permission: Permission{Manager: "Wimbrel Estate, Jorun Őszi-Plumley", Words: "People may leave the paths between the lane and the brook. Not north of the deer fence. Dogs stay at home.",
			From: "2026-09-01", Until: "2026-11-30", Pick: "one of each kind, if the views are not enough", Cut: "brackets thinner than a hand", Keep: "what the fungarium asks for, with a packet"},
		Rules: []string{"Stay off the raked sand: lizards sleep in it.", "Leave gates as you find them."},
		Species: []Species{{Name: "Galerina marginata", Authorship: "(Batsch) Kühner", Why: "two opinions wanted: take the ring and the base"},
			{Name: "Tricholoma equestre", Authorship: "(L.) P. Kumm.", Why: "not seen here since 1998"}, {Name: "Sparassis crispa", Authorship: "(Wulfen) Fr.", Plain: "cauliflower fungus"}},
		Emergency: Number{Who: "Emergency", Phone: "112"}, Poison: Number{Who: "Poison information centre of Wimbrel", Phone: "555 0142 88"},
		Map: Outline{Rings: [][]place.Position{ring(48.5872, -19.8671, [2]float64{0, 0}, [2]float64{240, 60}, [2]float64{520, -30}, [2]float64{610, 180}, [2]float64{470, 390}, [2]float64{260, 420}, [2]float64{90, 330}, [2]float64{-60, 150})},
			Meet: &ring(48.5872, -19.8671, [2]float64{-30, -40})[0]},
	}
}

func sampleRisk() RiskData {
	return RiskData{
		Sheet: head, Site: "Upper Tansel Pinery", Code: "S3", Square: "27U 583 5382 (1 km)", Position: "48.5872 N, 19.8671 W", NearestRoad: "Tansel Lane, gate 3",
		Hazards: []Hazard{{"Windthrow on the north ride", "Keep to the south of the ride. Nobody steps over hung trees."}, {"Old sand face, 4 m, no fence", "Stay three steps from the edge; children by the hand."},
			{"Ticks, many", "Long trousers; check at the end, and again at home."}},
		Ground: "Sand, brambles, rabbit holes", Trees: "Pine of 90 years, dead tops along the lane", Water: "Brook, knee deep after rain", Livestock: "Ponies on the north side; do not feed",
		Roads: "Timber lorries on weekdays until 16:00", Contaminated: "Sheep dip by the old fold, fenced: stay out",
		Emergency: Number{Phone: "112"}, Poison: Number{Phone: "555 0142 88"}, AssessedBy: "Eszter Fogglethorpe", Assessed: "2026-08-21",
	}
}

func sampleSlips() SlipsData {
	return SlipsData{Sheet: head, Site: "Upper Tansel Pinery, O07", Day: "2026-10-10",
		Numbers: []string{"W26-0301", "W26-0302", "W26-0303", "W26-0304", "W26-0305", "W26-0306", "W26-0307", "W26-0308", "W26-0309", ""}}
}

func sampleProgramme() ProgrammeData {
	x := ProgrammeData{Sheet: head, Intro: "Six walks, each with a leader who knows the ground. Come to one or to all; nobody needs to know a name.",
		Bring: []string{"boots and a coat", "water", "the field card, if you have one", "a phone with its battery full", "a soft pencil", "a paper bag or two, never plastic"}, Contact: "Questions: ask Tibor Kühner-Marsh at the season desk in Wimbrel Hall, Tuesdays from 17:00."}
	for _, f := range [][4]string{{"2026-09-26", "Lower Tansel Wood", "Mill bridge", "Level gravel for 800 m, benches, a toilet with wide door."}, {"2026-10-03", "Dunmarrow Meadows", "Meadow barn", ""}, {"2026-10-10", "Upper Tansel Pinery", "Sand pit car park on Tansel Lane, by the green gate", "Sandy track for the first 300 m; wheels sink after rain."},
		{"2026-10-11", "Wimbrel churchyard", "Lych gate", "All of it, on paving."}, {"2026-10-17", "Grebe Carr", "Bird hide", "No: boards with gaps and two stiles."}, {"2026-10-24", "Čertov Ridge", "Quarry stop, bus 4", "No."}} {
		x.Forays = append(x.Forays, ProgrammeForay{Day: trug.Date(f[0]), Start: "10:00", End: "13:00", Site: f[1], MeetingPoint: f[2], Leader: "Eszter Fogglethorpe", StepFree: f[3]})
	}
	x.Forays[2].Name = "Stumps and sand: a slow walk for those who like *Tricholoma*"
	return x
}

func samplePoster() PosterData {
	return PosterData{Sheet: head, Title: "What grows in the Vale?", Where: "A month of fungi in the Vale of Wimbrel", Dates: "26 September to 25 October 2026",
		Lead: "Everybody can take part, on a walk with others or near home.", URL: "https://wimbrel.example/in?code=TANSEL-26", Code: "TANSEL-26", Address: "wimbrel.example/in"}
}

func sampleThanks() ThanksData {
	x := ThanksData{Sheet: head, Unnamed: 23}
	first := []string{"Eszter", "Tibor", "Jorun", "Bartholomew", "Philippa", "Casimir", "Zdeňka", "Ødegard", "Łucja", "Młada"}
	last := []string{"Fogglethorpe", "Kühner-Marsh", "Őszi-Plumley", "Nettlequist", "Vermeulen-Yarrow", "Blunderbusk", "Grimsby-Plume"}
	for i := range 64 {
		x.Names = append(x.Names, first[i%10]+" "+last[i*3%7])
	}
	x.Names[7] = "Young recorder 3"
	return x
}

// samples makes one of each sheet.
func samples() map[string]func() ([]byte, error) {
	return map[string]func() ([]byte, error){
		"leader":    func() ([]byte, error) { return Leader(sampleLeader()) },
		"risk":      func() ([]byte, error) { return Risk(sampleRisk()) },
		"slips":     func() ([]byte, error) { return Slips(sampleSlips()) },
		"programme": func() ([]byte, error) { return Programme(sampleProgramme()) },
		"poster":    func() ([]byte, error) { return Poster(samplePoster()) },
		"poster-a3": func() ([]byte, error) { p := samplePoster(); p.Size = A3; return Poster(p) },
		"cards":     func() ([]byte, error) { return Cards(sampleCards("pocket", A4)) },
		"thanks":    func() ([]byte, error) { return Thanks(sampleThanks()) },
		"leader-letter": func() ([]byte, error) {
			l := sampleLeader()
			l.Size = Letter
			return Leader(l)
		},
		"slips-letter": func() ([]byte, error) {
			s := sampleSlips()
			s.Size = Letter
			return Slips(s)
		},
		"leader-long": func() ([]byte, error) {
			l := sampleLeader()
			l.Site = "The old sand pits, brook meadows and plantations on both sides of Tansel Lane between the mill and the quarry"
			l.Permission.Words, l.Rules[0], l.MeetingPoint = flood(300), flood(200), flood(60)
			l.Leader = "Ada 🍄 Fogglethorpe"
			return Leader(l)
		},
		"leader-empty": func() ([]byte, error) { return Leader(LeaderData{Sheet: head}) },
		"risk-empty":   func() ([]byte, error) { return Risk(RiskData{Sheet: head}) },
	}
}

func TestSamples(t *testing.T) {
	for name, make := range samples() {
		pdf, err := make()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if *out != "" {
			if err := os.WriteFile(filepath.Join(*out, name+".pdf"), pdf, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
