package dwca

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/science/place"
)

// number writes x with as many digits as it has and no exponent; 0 is empty.
func number(x float64) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func whole(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// putPlace fills the cells of a place, with source as its georeferenceSources.
func putPlace(r []string, p *trug.Place, source string) {
	if p == nil {
		return
	}
	r[evLat] = strconv.FormatFloat(float64(p.Position.Lat), 'f', -1, 64)
	r[evLon] = strconv.FormatFloat(float64(p.Position.Lon), 'f', -1, 64)
	r[evDatum] = place.Datum
	r[evUncertainty] = number(float64(p.Uncertainty))
	r[evPrecision] = number(float64(p.Precision))
	r[evVerbatim] = p.Verbatim
	r[evGeoProtocol] = georeferenceProtocol
	r[evGeoSources] = source
}

// date writes when a find was made.
func (f *Find) date() string {
	if f.Found.IsZero() {
		return f.Month
	}
	return f.Found.ISO()
}

// date writes when a foray was: both ends as date-times, or the day.
func (f *Foray) date() string {
	if f.Start == "" {
		return string(f.Date)
	}
	start := trug.When{Date: f.Date, Time: f.Start, Offset: f.Offset}
	end := f.end()
	return start.ISO() + "/" + end.ISO()
}

// end is when a foray with times ended.
func (f *Foray) end() trug.When {
	return trug.When{Date: cmp.Or(f.EndDate, f.Date), Time: f.End, Offset: f.Offset}
}

// seasonDate writes the season's days as an interval of instants: from the
// beginning of the first day up to the end of the last.
func seasonDate(starts, ends trug.Date, zone *time.Location) string {
	from, _ := time.ParseInLocation(time.DateOnly, string(starts), zone)
	last, _ := time.Parse(time.DateOnly, string(ends))
	after, _ := time.ParseInLocation(time.DateOnly, last.AddDate(0, 0, 1).Format(time.DateOnly), zone)
	return from.Format(time.RFC3339) + "/" + after.Format(time.RFC3339)
}

// readWhen reads a day with or without a time and an offset.
func readWhen(s string) (trug.When, error) {
	day, clock, timed := strings.Cut(s, "T")
	w := trug.When{Date: trug.Date(day)}
	if timed {
		w.Time = clock
		if i := strings.IndexAny(clock, "Z+-"); i >= 0 {
			w.Time, w.Offset = clock[:i], clock[i:]
		}
		if w.Time == "" {
			return w, trug.Errorf(trug.Invalid, "", "%q is not a time", s)
		}
	}
	return w, w.Validate("")
}

// The forms of samplingEffort.
const (
	effortBoth    = "%d people x %d minutes"
	effortPeople  = "%d people, time not recorded"
	effortMinutes = "%d minutes, number of people not recorded"
	// One person is written as the second in place of the first.
	effortPlural, effortSingular = "1 people", "1 person"
)

// putEffort fills the cells of the effort as far as it is known.
func (f *Foray) putEffort(r []string) {
	switch {
	case f.People > 0 && f.Minutes > 0:
		r[evSampleValue], r[evSampleUnit] = whole(f.People*f.Minutes), "minute"
		r[evEffort] = fmt.Sprintf(effortBoth, f.People, f.Minutes)
	case f.People > 0:
		r[evEffort] = fmt.Sprintf(effortPeople, f.People)
	case f.Minutes > 0:
		r[evEffort] = fmt.Sprintf(effortMinutes, f.Minutes)
	}
	if one, ok := strings.CutPrefix(r[evEffort], effortPlural); ok {
		r[evEffort] = effortSingular + one
	}
}

// readEffort is the way back; false when the text is not one of the forms.
func (f *Foray) readEffort(s string) bool {
	if s == "" {
		return true
	}
	if one, ok := strings.CutPrefix(s, effortSingular); ok {
		s = effortPlural + one
	}
	for _, form := range []string{effortBoth, effortPeople, effortMinutes} {
		var n [2]int
		args := []any{&n[0], &n[1]}[:strings.Count(form, "%d")]
		if _, err := fmt.Sscanf(s, form, args...); err != nil || fmt.Sprintf(form, deref(n, len(args))...) != s {
			continue
		}
		if n[0] < 1 || form == effortBoth && n[1] < 1 {
			return false
		}
		switch form {
		case effortBoth:
			f.People, f.Minutes = n[0], n[1]
		case effortPeople:
			f.People = n[0]
		case effortMinutes:
			f.Minutes = n[0]
		}
		return true
	}
	return false
}

func deref(n [2]int, count int) []any { return []any{n[0], n[1]}[:count] }

// properties are the keys of an occurrence's dynamicProperties: what was seen
// and has no term in Darwin Core. The field name of a find that has no other
// stands in verbatimIdentification instead.
type properties struct {
	FieldName   string `json:"fieldName,omitempty"`
	FieldNameBy string `json:"fieldNameBy,omitempty"`
	Form        string `json:"form,omitempty"`
	Substrate   string `json:"substrate,omitempty"`
	Habit       string `json:"habit,omitempty"`
	Ripeness    string `json:"ripeness,omitempty"`
	Smell       string `json:"smell,omitempty"`
	SporePrint  string `json:"sporePrint,omitempty"`
	Voucher     string `json:"voucher,omitempty"`
}

// forayProperties are the keys of a foray's dynamicProperties.
type forayProperties struct {
	Leader string `json:"leader,omitempty"`
	Visit  bool   `json:"visit,omitempty"`
}

// host is the one key of associatedTaxa, written without its braces.
type host struct {
	Host string `json:"host,omitempty"`
}

// object writes v as a JSON object on one line, empty when it has no keys.
func object(v any) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err) // structs of plain fields can always be written
	}
	s := strings.TrimSuffix(b.String(), "\n")
	if s == "{}" {
		return ""
	}
	return s
}

// readObject is the way back; keys that aren't ours are an error.
func readObject(s string, v any) error {
	if s == "" {
		return nil
	}
	dec := json.NewDecoder(strings.NewReader(s))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return err
	}
	if dec.More() {
		return fmt.Errorf("more than one object")
	}
	return nil
}

// countRemark opens the remarks of a find that was counted.
const countRemark = "The count is of fruitbodies."

// remarks writes a find's occurrenceRemarks.
func (f *Find) remarks() string {
	if f.NumberSeen == 0 {
		return f.Remarks
	}
	return strings.TrimSuffix(countRemark+" "+f.Remarks, " ")
}

// recorderWithheld is said in an occurrence whose recorder isn't named.
const recorderWithheld = "Recorder's name withheld for reasons of privacy."

// withheld writes an occurrence's informationWithheld.
func (f *Find) withheld() string {
	if len(f.RecordedBy) > 0 {
		return f.Withheld
	}
	return strings.TrimPrefix(f.Withheld+" "+recorderWithheld, " ")
}

// listed writes a list of values.
func listed(list []string) string { return strings.Join(list, listSeparator) }

func readList(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, listSeparator)
}

// people writes a list of names.
func people(list []string) string {
	if len(list) == 0 {
		return NameWithheld
	}
	return listed(list)
}

func readPeople(s string) []string {
	if s == NameWithheld {
		return nil
	}
	return readList(s)
}

// readNumber reads a number that is empty or positive.
func readNumber(s string) (float64, bool) {
	if s == "" {
		return 0, true
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil && x > 0 && !math.IsInf(x, 0)
}

// readWhole reads a count that is empty or positive.
func readWhole(s string) (int, bool) {
	if s == "" {
		return 0, true
	}
	n, err := strconv.ParseUint(s, 10, 31)
	return int(n), err == nil && n > 0
}
