package dwca

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"trug"
	"trug/science/place"
)

// tableReader goes through the rows of one table.
type tableReader struct {
	table *table
	rest  string
	line  int
	cells []string
}

// open unpacks a table and checks its header. Rows get room for columns
// cells, which is more than the tables of older formats have.
func (a archive) open(t *table, columns int) (*tableReader, error) {
	raw, err := a.unpack(t.file)
	if err != nil {
		return nil, err
	}
	s := string(raw)
	switch {
	case !utf8.ValidString(s):
		return nil, invalid(t.file, "the file is not in UTF-8, so another program has saved it since: fetch the deposit again")
	case strings.ContainsRune(s, '\r'):
		return nil, invalid(t.file, "its line ends have been changed, so another program has saved it since: fetch the deposit again")
	case !strings.HasSuffix(s, "\n"):
		return nil, invalid(t.file, "the last line is cut short: fetch the deposit again")
	}
	rest, ok := strings.CutPrefix(s, t.header())
	if !ok {
		return nil, invalid(t.file, "the columns are not those that Trug writes: fetch the deposit again")
	}
	return &tableReader{table: t, rest: rest, line: 1, cells: make([]string, columns)}, nil
}

// next reads the next row into cells; false at the end.
func (r *tableReader) next() (bool, error) {
	if r.rest == "" {
		return false, nil
	}
	r.line++
	line, rest, _ := strings.Cut(r.rest, "\n")
	r.rest = rest
	last := len(r.table.terms) - 1
	for i := range last {
		var ok bool
		if r.cells[i], line, ok = strings.Cut(line, "\t"); !ok {
			return false, r.fail("the row has %d cells in place of %d", i+1, last+1)
		}
	}
	if strings.Contains(line, "\t") {
		return false, r.fail("the row has more than %d cells", last+1)
	}
	r.cells[last] = line
	return true, nil
}

// fail returns a sentence that names the file and line.
func (r *tableReader) fail(format string, args ...any) error {
	return invalid(fmt.Sprintf("%s, line %d", r.table.file, r.line), "%s: fetch the deposit again", fmt.Sprintf(format, args...))
}

// bad says that a cell can't be read.
func (r *tableReader) bad(column int) error {
	term := r.table.terms[column]
	return r.fail("%.60q can't stand in %s", r.cells[column], term[strings.LastIndexByte(term, '/')+1:])
}

// tablesReader turns rows back into a dataset.
type tablesReader struct {
	d   *Dataset
	ids identifiers
	// byEvent and forays are the places of finds and forays by eventID.
	byEvent, forays map[string]int
	// described marks the finds whose occurrence has been read.
	described map[trug.PublicID]bool
	season    string
	// absent is the absentTaxa cell of the events that have a row in
	// survey.txt, by eventID.
	absent map[string]string
}

// readTables reads the tables of the layout into d, which has the season's
// facts. Surveys come before the occurrences, whose absences they hold.
func readTables(files archive, form *layout, d *Dataset) error {
	t := tablesReader{d: d, byEvent: map[string]int{}, forays: map[string]int{}, described: map[trug.PublicID]bool{}, absent: map[string]string{}}
	for _, part := range []struct {
		table *table
		row   func(*tableReader) error
	}{
		{&eventTable, t.event}, {&surveyTable, t.survey}, {&occurrenceTable, t.occurrence},
		{&mediaTable, t.view}, {&identificationTable, t.slip}, {&measurementTable, t.fact},
	} {
		own := form.table(part.table)
		if own == nil {
			continue
		}
		r, err := files.open(own, len(part.table.terms))
		if err != nil {
			return err
		}
		if err := r.each(part.row); err != nil {
			return err
		}
		if part.table == &occurrenceTable && len(t.described) != len(d.Finds) || part.table == &eventTable && t.season == "" {
			return invalid(part.table.file, "rows are missing: fetch the deposit again")
		}
	}
	*d = tidy(*d)
	return t.checkAbsent()
}

// each calls row for every row that is left.
func (r *tableReader) each(row func(*tableReader) error) error {
	for {
		ok, err := r.next()
		if err != nil || !ok {
			return err
		}
		if err := row(r); err != nil {
			return err
		}
	}
}

func (t *tablesReader) event(r *tableReader) error {
	if t.season == "" {
		return t.seasonEvent(r)
	}
	if r.cells[evType] == forayType {
		return t.forayEvent(r)
	}
	if r.cells[evType] == findType {
		return t.findEvent(r)
	}
	return r.bad(evType)
}

func (t *tablesReader) seasonEvent(r *tableReader) error {
	id := r.cells[evID]
	var ok bool
	if t.ids, ok = identifiersOf(id); !ok || r.cells[evType] != seasonType {
		return r.bad(evID)
	}
	if public, ok := t.ids.parse(eventPath, id); !ok || public != t.d.Public {
		return r.bad(evID)
	}
	t.season, t.d.BaseURL, t.d.Country = id, t.ids.base, r.cells[evCountry]
	return nil
}

func (t *tablesReader) forayEvent(r *tableReader) error {
	c := r.cells
	f := Foray{Code: c[evCode], Name: c[evRemarks], SiteName: c[evLocality], Habitat: c[evHabitat]}
	var ok bool
	if f.Public, ok = t.ids.parse(eventPath, c[evID]); !ok {
		return r.bad(evID)
	}
	if c[evParent] != t.season {
		return r.fail("the parent event %.80q is not the season's", c[evParent])
	}
	start, end, timed := strings.Cut(c[evDate], "/")
	from, err := readWhen(start)
	if err != nil {
		return r.bad(evDate)
	}
	f.Date = from.Date
	if timed {
		to, err := readWhen(end)
		if err != nil || to.Offset != from.Offset || from.Time == "" || to.Time == "" {
			return r.bad(evDate)
		}
		f.Start, f.End, f.Offset, f.EndDate = from.Time, to.Time, from.Offset, to.Date
	}
	if !f.readEffort(c[evEffort]) {
		return r.bad(evEffort)
	}
	var p forayProperties
	if readObject(c[evDynamic], &p) != nil {
		return r.bad(evDynamic)
	}
	f.Leader, f.Visit = p.Leader, p.Visit
	if f.Route = c[evFootprint]; f.Route != "" && c[evFootprintSRS] != place.Datum {
		return r.bad(evFootprintSRS)
	}
	if f.Place, err = readPlace(r); err != nil {
		return err
	}
	t.forays[c[evID]] = len(t.d.Forays)
	t.d.Forays = append(t.d.Forays, f)
	return nil
}

func (t *tablesReader) findEvent(r *tableReader) error {
	c := r.cells
	f := Find{Habitat: c[evHabitat], Locality: c[evLocality], Generalisations: c[evGeneralised], Withheld: c[evWithheld]}
	var ok bool
	if f.Public, ok = t.ids.parseFindEvent(c[evID]); !ok {
		return r.bad(evID)
	}
	if c[evParent] != t.season {
		i, ok := t.forays[c[evParent]]
		if !ok {
			return r.fail("the parent event %.80q is not in the table", c[evParent])
		}
		f.Foray = t.d.Forays[i].Public
	}
	var err error
	if monthForm.MatchString(c[evDate]) {
		f.Month = c[evDate]
	} else if f.Found, err = readWhen(c[evDate]); err != nil {
		return r.bad(evDate)
	}
	if f.Place, err = readPlace(r); err != nil {
		return err
	}
	if f.Place != nil {
		if f.Place.Source, ok = sourceOf[c[evGeoSources]]; !ok {
			return r.bad(evGeoSources)
		}
	}
	if _, twice := t.byEvent[c[evID]]; twice {
		return r.fail("the event %.80q stands twice in the table", c[evID])
	}
	t.byEvent[c[evID]] = len(t.d.Finds)
	t.d.Finds = append(t.d.Finds, f)
	return nil
}

// readPlace reads the cells of a place; nil where there is none.
func readPlace(r *tableReader) (*trug.Place, error) {
	c := r.cells
	if c[evLat] == "" && c[evLon] == "" {
		return nil, nil
	}
	lat, err := strconv.ParseFloat(c[evLat], 64)
	if err != nil {
		return nil, r.bad(evLat)
	}
	lon, err := strconv.ParseFloat(c[evLon], 64)
	if err != nil {
		return nil, r.bad(evLon)
	}
	p := trug.Place{Position: place.Position{Lat: place.Degrees(lat), Lon: place.Degrees(lon)}, Verbatim: c[evVerbatim]}
	if err := p.Position.Valid(); err != nil {
		return nil, r.fail("%v", err)
	}
	x, ok := readNumber(c[evUncertainty])
	if !ok {
		return nil, r.bad(evUncertainty)
	}
	p.Uncertainty = place.Metres(x)
	if x, ok = readNumber(c[evPrecision]); !ok {
		return nil, r.bad(evPrecision)
	}
	p.Precision = place.Degrees(x)
	return &p, nil
}
