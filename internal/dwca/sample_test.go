package dwca

import (
	"time"

	"trug"
	"trug/science/place"
)

// sample is a small invented season that has one of everything.
func sample() Dataset {
	return Dataset{
		Public: "11111111-1111-4111-8111-111111111111", PackageID: "22222222-2222-4222-8222-222222222222",
		Number: 2, Date: "2026-11-01", Stamp: time.Date(2026, 11, 1, 18, 30, 0, 0, time.UTC),
		Title: "Vale of Wimbrel, fungi of 2026", Place: "Vale of Wimbrel",
		Abstract: "Four weeks of forays in an invented valley.\nOpen to everybody.",
		Box:      place.Box{South: 49.9, West: -20.4, North: 50.1, East: -20.1},
		Starts:   "2026-09-26", Ends: "2026-10-25", Zone: "Etc/GMT+1",
		Licence: trug.CCBY, RightsHolder: "Wimbrel Fungus Group", Contact: "Keeper of the records",
		ContactAddress: "records@example.org", Checklist: "Checklist of Wimbrel, edition 3",
		BasisOfRecord: "HumanObservation", BaseURL: "https://wimbrel.example/season", Invented: true,
		Survey: sampleScope(),
		Forays: []Foray{{
			Public: "33333333-3333-4333-8333-333333333333", Code: "O07", Name: "Oak Hanger, morning",
			Date: "2026-10-10", Start: "09:30", End: "12:30", Offset: "-01:00", SiteName: "Oak Hanger",
			Habitat: "oak wood on clay", People: 8, Minutes: 150, Leader: "B. Sedge",
			Place:  &trug.Place{Position: place.Position{Lat: 50.0123, Lon: -20.2345}, Uncertainty: 400},
			Survey: sampleSurvey(),
		}, sampleVisit()},
		Finds: []Find{sampleNamed(), sampleWithheld(), sampleUnnamed()},
	}
}

// sampleScope is what holds for the whole season.
func sampleScope() *Survey {
	return &Survey{
		Targets: []string{"Basidiomycota", "Ascomycota"}, Excluded: []string{"lichenized fungi", "Hericium"},
		Inventory: OpenSearch, Completeness: NotReported,
	}
}

func sampleSurvey() *Survey {
	s := sampleScope()
	s.Absences = []Absence{
		{Public: "73333333-3333-4333-8333-333333333333", RecordedBy: []string{"B. Sedge", "A. Bramble"}, IdentifiedBy: []string{"D. Sorrel"},
			Name: Name{Name: "Hygrocybe coccinea", Authorship: "(Schaeff.) P. Kumm.", Rank: trug.Species, Kingdom: "Fungi", Family: "Hygrophoraceae"}},
		{Public: "63333333-3333-4333-8333-333333333333",
			Name: Name{Name: "Armillaria mellea", Authorship: "(Vahl) P. Kumm.", Rank: trug.Species, Qualifier: trug.Agg, Kingdom: "Fungi", Family: "Physalacriaceae"}},
	}
	s.Protocols = []Protocol{{"timedSearch", "all substrates searched in a line abreast"}, {"targetedSearch", "old pasture and stumps looked over for listed kinds"}}
	s.DurationMinutes, s.Effort, s.EffortProtocol = 180, 20, "sum of search time over people, breaks excluded"
	s.Area, s.AreaUnit = 0.03, "km²"
	s.AbundanceReported, s.HasVouchers, s.Institutions = true, new(true), []string{"Wimbrel Fungarium"}
	s.PerformedBy = []string{"B. Sedge", "A. Bramble", "C. Reed"}
	return s
}

// sampleVisit is a visit on which nothing was found.
func sampleVisit() Foray {
	s := sampleScope()
	s.FullyReported, s.Completeness, s.CompletenessProtocol = true, ReportedIncomplete, "half of the plot was under water"
	s.Effort, s.HasVouchers = 1.5, new(false)
	return Foray{
		Public: "37333333-3333-4333-8333-333333333333", Code: "V12", Name: "Fen, alone", Date: "2026-10-11", SiteName: "Low Fen",
		Habitat: "alder carr", People: 1, Minutes: 90, Visit: true, Survey: s,
		Route: "LINESTRING (-20.2 50.01, -20.201 50.011, -20.203 50.0115)",
	}
}

func sampleNamed() Find {
	return Find{
		Public: "44444444-4444-4444-8444-444444444444", Foray: "33333333-3333-4333-8333-333333333333",
		Found:    trug.When{Date: "2026-10-10", Time: "10:02:11", Offset: "-01:00"},
		Place:    &trug.Place{Position: place.Position{Lat: 50.012345, Lon: -20.234567}, Uncertainty: 9, Precision: 0.000001, Source: trug.FromCamera},
		Locality: "Oak Hanger", Habitat: "under oak, in litter",
		RecordedBy: []string{"A. Bramble", "C. Reed"}, FieldName: trug.FieldName{Name: "Yellow brittlegill", By: "C. Reed"},
		NumberSeen: 3, Form: "gilled", Substrate: "soil", Habit: "scattered", Ripeness: "ripe", Smell: "fruity",
		SporePrint: "white", Host: "Quercus", Voucher: "WFG 12", Remarks: "two dried",
		Description: "Pileus 42–51 mm broad, yellow or straw. Stipe without ring. Not assessed: volva.",
		Facts: []Fact{
			{Character: "cap_diameter", Label: "Cap width", Number: "(38-)42-51", Unit: "mm"},
			{Character: "stem_width", Label: "Stem width", Number: "12", Unit: "mm", Uncertainty: 0.4},
			{Character: "cap_color", Label: "Cap colours", States: []FactState{{"yellow", "yellow"}, {"straw", "straw"}}},
			{Character: "gill_color", Label: "Gill colours", Either: true, States: []FactState{{"white", "white"}, {"cream", "cream, off-white"}}, Measured: true},
			{Character: "ring", Label: "Ring", States: []FactState{{"none", "no ring"}}, Blank: "absent"},
			{Character: "volva", Label: "Bag at the base", States: []FactState{{"not_dug", "not dug out"}}, Blank: "not looked for"},
			{Character: "latex", Label: "Milk", Blank: "not visible"},
			{Character: "veil_kind", Label: "Veil", Blank: "not looked for"},
			{Character: "warts", Label: "Warts", Blank: "absent"},
			{Character: "stem_length", Label: "Stem length", Number: "61-84", Unit: "mm", Uncertainty: 1.1, Measured: true},
		},
		Sizes: []Size{
			{Character: "stem_length", Label: "Stem length", Number: 1, Of: 2, MM: 61.4, U95: 2.1, Print: "the card is known to be true to size"},
			{Character: "stem_length", Label: "Stem length", Number: 2, Of: 2, MM: 84, U95: 2.3, Print: "the card is known to be true to size"},
			{Label: "Greatest width", Number: 1, Of: 1, MM: 12.5, U95: .4, Print: "the card's control line was measured"},
		},
		Colours: []Color{
			{Character: "cap_color", Label: "Cap colours", Lab: [3]float64{71.2, 4.35, 48.91}, Covariance: [6]float64{4.1, 2.25, 6.5, .3, -.21, 1.02}, GiveOrTake: 3.4,
				Name: "between moderate yellow and moderate orange yellow", Munsell: "1.2Y 7.0/7.1", Ridgway: "Naples Yellow", RidgwayOff: 6.2, Share: .82, Where: "centre and middle zone",
				Number: 1, Of: 2, Method: "corrected by 25 patches of the card (3 x 3 matrix)"},
			{Character: "cap_color", Label: "Cap colours", Lab: [3]float64{81, -.4, 22}, Covariance: [6]float64{4, 2, 6, 0, 0, 0}, GiveOrTake: 3.1,
				Name: "light yellow", Munsell: "4.0Y 8.0/3.0", Ridgway: "Cream-Buff", RidgwayOff: 4, Share: .18, Where: "rim", Number: 2, Of: 2, Method: "corrected by 25 patches of the card (3 x 3 matrix)"},
			{Label: "Colour, bruised", Lab: [3]float64{30.5, 0, -12.25}, Covariance: [6]float64{30, 22, 41, 0, 0, 3}, GiveOrTake: 11, Name: "blue or gray",
				Munsell: "N 3.0/", Ridgway: "Slate-Blue", RidgwayOff: 9.1, Share: 1, Where: "all over", Number: 1, Of: 1, Method: "corrected by the card's greys alone"},
		},
		Name: Name{Name: "Russula fellea", Authorship: "(Fr.) Fr.", Rank: trug.Species, Qualifier: trug.Cf,
			Kingdom: "Fungi", Family: "Russulaceae"},
		IdentifiedBy: []string{"D. Sorrel"}, DateIdentified: "2026-10-14", Status: "one determiner, from photographs and specimen",
		Views: []View{
			{Public: "55555555-5555-4555-8555-555555555555", Kind: trug.Top, By: "A. Bramble",
				Taken: trug.When{Date: "2026-10-10", Time: "10:02:11", Offset: "-01:00"}, Width: 1600, Height: 1200,
				Hash: "0101010101010101010101010101010101010101010101010101010101010101"},
			{Public: "45555555-5555-4555-8555-555555555555", Kind: trug.Surroundings, Licence: trug.CCBYNC, Owner: "A. Bramble"},
		},
		Slips: []Slip{
			{Public: "66666666-6666-4666-8666-666666666666", By: "D. Sorrel", Date: "2026-10-11", Independent: true,
				Name:  Name{Name: "Russula", Authorship: "Pers.", Rank: trug.Genus, Qualifier: trug.Sp, Kingdom: "Fungi", Family: "Russulaceae"},
				Basis: []trug.Basis{trug.FromPhotographs}},
			{Public: "61666666-6666-4666-8666-666666666666", By: "D. Sorrel", Date: "2026-10-14", Current: true,
				Name: Name{Name: "Russula fellea", Authorship: "(Fr.) Fr.", Rank: trug.Species, Qualifier: trug.Cf,
					Kingdom: "Fungi", Family: "Russulaceae"},
				Basis: []trug.Basis{trug.FromPhotographs, trug.FromSpecimen}, Remark: "Smell agrees; spores not seen."},
		},
	}
}

func sampleWithheld() Find {
	return Find{
		Public: "14444444-4444-4444-8444-444444444444", Month: "2026-10",
		Place:    &trug.Place{Position: place.Position{Lat: 50.05, Lon: -20.25}, Uncertainty: 6620, Precision: 0.1, Source: trug.FromPhone},
		Locality: "Vale of Wimbrel",
		Name: Name{Name: "Hericium erinaceus", Authorship: "(Bull.) Pers.", Rank: trug.Species, Qualifier: trug.Aff,
			Kingdom: "Fungi", Family: "Hericiaceae"},
		Status:          "two determiners who agree, from photographs",
		Generalisations: "Coordinates generalised to a 0.1 degree geographic grid (centre of the cell given).",
		Withheld:        "Exact locality, coordinates and time withheld: sensitive species. More precise data on request to the rights holder.",
		Slips: []Slip{{Public: "71666666-6666-4666-8666-666666666666", Date: "2026-11-01", Current: true,
			Name:  Name{Name: "Hericium erinaceus", Rank: trug.Species, Qualifier: trug.Aff, Kingdom: "Fungi", Family: "Hericiaceae"},
			Basis: []trug.Basis{trug.FromPhotographs}}},
	}
}

func sampleUnnamed() Find {
	return Find{
		Public: "94444444-4444-4444-8444-444444444444", Found: trug.When{Date: "2026-10-11"},
		RecordedBy: []string{"C. Reed"}, FieldName: trug.FieldName{Name: "little brown thing"},
		Status: "no determination",
		Views:  []View{{Public: "85555555-5555-4555-8555-555555555555", Kind: trug.Micrograph, By: "C. Reed"}},
	}
}
