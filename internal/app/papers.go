package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/paper"
)

// PaperAsked says which printed sheet is wanted.
type PaperAsked struct {
	// Sheet is "leaders-sheet", "risk-sheet", "slips", "programme", "poster"
	// or "thanks".
	Sheet string
	Foray trug.ID
	Site  trug.ID
	// Slips is the run of numbers that slips bear.
	Slips trug.ID
	// Size is "A4", "Letter" or "A3"; empty means A4.
	Size string
	// Address is what the poster's square code holds; empty means the
	// server's public address.
	Address string
}

// Paper makes a printed sheet as a PDF, and returns the name it is saved under.
func (a *App) Paper(ctx context.Context, v Viewer, q PaperAsked) (pdf []byte, name string, err error) {
	action := OpenDesk
	if q.Sheet == "leaders-sheet" || q.Sheet == "slips" {
		action = KeepForay
	}
	l, err := a.open(ctx, v, action)
	if err != nil {
		return nil, "", err
	}
	size, ok := map[string]paper.Size{"": paper.A4, "A4": paper.A4, "Letter": paper.Letter, "A3": paper.A3}[q.Size]
	if !ok {
		return nil, "", trug.Errorf(trug.Invalid, "size", "there is no paper of the size %q here: choose A4, Letter or A3", q.Size)
	}
	if err := a.noteSites(ctx, l, v, byPaper, l.printedSites(q)...); err != nil {
		return nil, "", err
	}
	sheet := paper.Sheet{Season: l.season.Title, Date: a.today(l.season), Size: size}
	name = q.Sheet
	switch q.Sheet {
	case "leaders-sheet":
		pdf, err = l.leadersSheet(sheet, q)
	case "risk-sheet":
		pdf, err = l.riskSheet(sheet, q)
	case "slips":
		var r trug.SlipRange
		if r, err = l.slipsPrinted(v, q.Slips); err != nil {
			return nil, "", err
		}
		name = l.slipsFile(r)
		pdf, err = l.slipsSheet(sheet, r)
	case "programme":
		pdf, err = l.programmeSheet(sheet)
	case "poster":
		if q.Address == "" {
			q.Address = a.PublicAddress
		}
		pdf, err = a.posterSheet(ctx, l, sheet, q.Address)
	case "thanks":
		pdf, err = l.thanksSheet(sheet)
	default:
		return nil, "", trug.Errorf(trug.NotFound, "", "There is no printed sheet %q: there are leaders-sheet, risk-sheet, slips, programme, poster and thanks.", q.Sheet)
	}
	if err != nil && trug.KindOf(err) == trug.Internal {
		err = trug.Errorf(trug.Invalid, "", "%v", err)
	}
	return pdf, fmt.Sprintf("%s-%s.pdf", l.season.Code, name), err
}

// printedSites are the sites whose names a printed sheet bears.
func (l *ledger) printedSites(q PaperAsked) (out []trug.ID) {
	switch q.Sheet {
	case "leaders-sheet":
		out = append(out, l.forays[q.Foray].SiteID)
	case "risk-sheet":
		out = append(out, q.Site)
	case "slips":
		out = append(out, l.forays[l.slips[q.Slips].ForayID].SiteID)
	}
	return out
}

// emergency and poison are the numbers that sheets bear.
func (l *ledger) emergency() paper.Number {
	return paper.Number{Who: "Emergency", Phone: l.season.Emergency}
}

func (l *ledger) poison() paper.Number {
	return paper.Number{Who: "Poison information centre", Phone: l.season.PoisonCentre}
}

// leaveWords writes a leave for a leader.
func leaveWords(l trug.Leave) string {
	return map[trug.Leave]string{trug.Allowed: "yes", trug.Barred: "no"}[l]
}

// backWords says until when a foray lasts, with the day where that is another.
func backWords(y trug.Foray) string {
	if y.End == "" || y.Ends() == y.Date {
		return y.End
	}
	return y.End + " on " + dayInSeason(y.Ends()).String()
}

func (l *ledger) leadersSheet(sheet paper.Sheet, q PaperAsked) ([]byte, error) {
	y, ok := l.forays[q.Foray]
	if !ok {
		return nil, trug.Errorf(trug.NotFound, "foray", "There is no such foray here.")
	}
	site := l.sites[y.SiteID]
	var at ShownPlace
	writePosition(&at, trug.Place{Position: site.Centre, Precision: 1e-4, Source: trug.FromSite})
	x := paper.LeaderData{Sheet: sheet, Foray: y.Name, Code: y.Code, Site: site.Name, Day: y.Date, Start: y.Start, Back: backWords(y),
		Leader: l.person(y.Leader), Headcount: max(y.People, len(y.SignedUp)), MeetingPoint: site.Meeting, NearestRoad: site.Road,
		Square: at.Square, Position: at.Decimal, Emergency: l.emergency(), Poison: l.poison(), Map: paper.Outline{Rings: site.Outline}}
	if site.Rule != "" {
		x.Rules = append(x.Rules, sentence(site.Rule)+".")
	}
	for _, h := range site.Hazards {
		what, do, _ := strings.Cut(h, ":")
		if do = strings.TrimSpace(do); do != "" {
			do = "; " + do
		}
		x.Rules = append(x.Rules, "Mind: "+strings.TrimSpace(what)+do+".")
	}
	if p := site.Permission; p != nil {
		x.Permission = paper.Permission{Manager: site.Manager, Words: strings.TrimSpace(p.Words + " " + p.Part), From: p.From, Until: p.Until,
			Pick: leaveWords(p.Pick), Cut: leaveWords(both(p.Pick, p.Cut)), Dig: leaveWords(p.Dig), Keep: leaveWords(both(p.Pick, p.Take))}
		if p.People > 0 {
			x.Rules = append(x.Rules, fmt.Sprintf("At most %d people at once.", p.People))
		}
	}
	for _, name := range y.Targets {
		t, _ := l.list.ByName(name)
		x.Species = append(x.Species, paper.Species{Name: name, Authorship: t.Authorship, Plain: t.Vernacular})
	}
	return paper.Leader(x)
}

func (l *ledger) riskSheet(sheet paper.Sheet, q PaperAsked) ([]byte, error) {
	s, ok := l.sites[q.Site]
	if !ok {
		return nil, trug.Errorf(trug.NotFound, "site", "There is no such site here.")
	}
	var at ShownPlace
	writePosition(&at, trug.Place{Position: s.Centre, Precision: 1e-4, Source: trug.FromSite})
	x := paper.RiskData{Sheet: sheet, Site: s.Name, Code: s.Code, Square: at.Square, Position: at.Decimal, NearestRoad: s.Road,
		Emergency: l.emergency(), Poison: l.poison(), AssessedBy: s.AssessedBy, Assessed: s.Assessed}
	for _, h := range s.Hazards {
		what, do, _ := strings.Cut(h, ":")
		x.Hazards = append(x.Hazards, paper.Hazard{What: strings.TrimSpace(what), Do: strings.TrimSpace(do)})
	}
	return paper.Risk(x)
}

func (l *ledger) slipsSheet(sheet paper.Sheet, r trug.SlipRange) ([]byte, error) {
	x := paper.SlipsData{Sheet: sheet, Numbers: l.numbersOf(r)}
	if y, ok := l.forays[r.ForayID]; ok {
		x.Site, x.Day = l.sites[y.SiteID].Name+", "+y.Name, y.Date
	}
	return paper.Slips(x)
}

func (l *ledger) programmeSheet(sheet paper.Sheet) ([]byte, error) {
	x := l.programme(sheet)
	if len(x.Forays) == 0 {
		return nil, trug.Errorf(trug.Invalid, "", "there is no foray to print yet: add one under Forays")
	}
	return paper.Programme(x)
}

// programme is what the printed list of forays tells. It hangs in shop
// windows: of private ground it tells no more than whoever comes in by the
// field code learns.
func (l *ledger) programme(sheet paper.Sheet) paper.ProgrammeData {
	x := paper.ProgrammeData{Sheet: sheet, Contact: l.season.Contact,
		Bring: []string{"boots and clothes for rain", "a pencil", "a charged phone", "the field card", "a small mirror", "water"}}
	for _, y := range l.forays {
		if y.Visit {
			continue
		}
		c := l.comingForay(Viewer{Season: l.season.ID}, y)
		f := paper.ProgrammeForay{Day: y.Date, Start: y.Start, End: y.End, Name: y.Name, Site: c.Site, MeetingPoint: c.Meeting, Leader: c.Leader}
		if c.Private {
			f.Site, f.MeetingPoint = "On private ground", "told to those who are signed up"
		}
		x.Forays = append(x.Forays, f)
	}
	slices.SortFunc(x.Forays, func(a, b paper.ProgrammeForay) int {
		return strings.Compare(string(a.Day)+a.Start, string(b.Day)+b.Start)
	})
	return x
}

// posterSheet prints the field code, in letters and in the square: there behind
// a #, so that it stands in no log on the way.
func (a *App) posterSheet(ctx context.Context, l *ledger, sheet paper.Sheet, address string) ([]byte, error) {
	address = strings.TrimRight(address, "/")
	if address == "" {
		return nil, trug.Errorf(trug.Invalid, "address", "give the address that people are to open, such as https://fungi.example.org")
	}
	code, err := a.fieldCode(ctx, l.season.ID)
	switch {
	case err != nil:
		return nil, err
	case code.Code == "":
		return nil, trug.Errorf(trug.Invalid, "", "there is no field code to print yet: make one under Coming in")
	}
	_, host, _ := strings.Cut(address, "://")
	return paper.Poster(paper.PosterData{Sheet: sheet, Title: l.season.Title, Where: "in the " + l.season.Place,
		Dates: dayWords(l.season.Starts) + " to " + dayWords(l.season.Ends), URL: address + "/join#" + code.Code, Address: host + "/join", Code: code.Code})
}

// thanksSheet names those whose consent to be named stands; a child only as
// they are credited.
func (l *ledger) thanksSheet(sheet paper.Sheet) ([]byte, error) {
	x := paper.ThanksData{Sheet: sheet}
	for _, p := range l.people {
		if name := p.Published(); name != "" && p.Agrees(trug.ShowName) {
			x.Names = append(x.Names, name)
		} else {
			x.Unnamed++
		}
	}
	slices.Sort(x.Names)
	return paper.Thanks(x)
}
