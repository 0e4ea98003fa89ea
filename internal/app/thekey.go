package app

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/key"
)

// answersOf gathers what is known of a find: the fields of the record and the
// further answers. The smell counts where it is a state of the vocabulary.
func (k *seasonKey) answersOf(r trug.Record) describe.Answers {
	out := describe.Answers{}
	for _, a := range r.Description {
		out[a.Character] = a
	}
	for character, state := range map[string]string{"form": r.Form, "substrate": r.Substrate, "habit": r.Habit,
		"ripeness": r.Ripeness, "smell": r.Smell, "spore_print": r.SporePrint} {
		c, _ := k.words.Character(character)
		if _, ok := c.State(state); ok {
			out[character] = describe.Answer{Character: character, States: []string{state}}
		}
	}
	if r.Host != "" {
		out["host"] = describe.Answer{Character: "host", Text: r.Host}
	}
	if r.NumberSeen > 0 {
		n := describe.Value(float64(r.NumberSeen))
		out["number_seen"] = describe.Answer{Character: "number_seen", Number: &n}
	}
	maps.Copy(out, dated(r))
	return out
}

// dated is what the day of a find tells: the time of year.
func dated(r trug.Record) describe.Answers {
	season := seasonOf(r)
	if season == "" {
		return nil
	}
	return describe.Answers{"season": {Character: "season", States: []string{season}}}
}

// seasonOf returns the season of the year in which a find was made, by month;
// south of the equator by half a year later. "" where the day is not known.
func seasonOf(r trug.Record) string {
	day, err := time.Parse(time.DateOnly, string(r.Found.Date))
	if err != nil {
		return ""
	}
	month := int(day.Month())
	if r.Place != nil && r.Place.Position.Lat < 0 {
		month += 6
	}
	return []string{"winter", "spring", "summer", "autumn"}[month%12/3]
}

// ownField lists the characters that have a field of the record: they are
// answered there.
var ownField = []string{"form", "substrate", "habit", "ripeness", "smell", "spore_print", "host", "number_seen", "season"}

// put puts answers to the key, after what is expected; nil where nothing is.
func (k *seasonKey) put(answers describe.Answers, prior []float64) (*key.Find, error) {
	f, err := k.key.Start(prior)
	if err != nil {
		return nil, err
	}
	given, err := k.key.Answers(k.words, answers)
	if err != nil {
		return nil, trug.Errorf(trug.Invalid, "answers", "%v", err)
	}
	for _, a := range given {
		if err := f.Give(a); err != nil {
			return nil, trug.Errorf(trug.Invalid, "answers", "%v", err)
		}
	}
	return f, nil
}

// GivenAnswer is an answer as a screen sends it.
type GivenAnswer struct {
	Character string `json:"character" maxLength:"100"`
	// States are all that the find shows; with Either, one of them.
	States []string `json:"states,omitempty" maxItems:"50"`
	Either bool     `json:"either,omitempty"`
	// Number is typed: "42", "42-51", "(30-)42-51(-60)", "52±3".
	Number string `json:"number,omitempty" maxLength:"100"`
	Text   string `json:"text,omitempty" maxLength:"1000"`
	// Blank says why there is no answer.
	Blank string `json:"blank,omitempty" enum:"not looked for,not visible,absent"`
}

// read makes an answer of it; saysNothing where all is empty.
func (g GivenAnswer) read(words *describe.Vocabulary) (a describe.Answer, saysNothing bool, err error) {
	a = describe.Answer{Character: g.Character, States: g.States, Either: g.Either, Text: strings.TrimSpace(g.Text), Blank: describe.Blank(g.Blank)}
	if len(a.States) == 0 && g.Number == "" && a.Text == "" && a.Blank == describe.Answered {
		return a, true, nil
	}
	if g.Number != "" {
		n, u, err := describe.ParseMeasured(g.Number)
		if err != nil {
			return a, false, trug.Errorf(trug.Invalid, "number", "%v", err)
		}
		a.Number, a.Uncertainty = &n, u
	}
	if err := words.Check(a); err != nil {
		return a, false, trug.Errorf(trug.Invalid, "answer", "%v", err)
	}
	return a, false, nil
}

// AnswerQuestion keeps an answer to a question about one's own find; an answer
// to the same character replaces it, and one that says nothing takes it back.
func (a *App) AnswerQuestion(ctx context.Context, v Viewer, id trug.ID, given GivenAnswer) (FindQuestions, error) {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return FindQuestions{}, err
	}
	f, err := ownFind(v, l, id)
	if err != nil {
		return FindQuestions{}, err
	}
	if slices.Contains(ownField, given.Character) {
		return FindQuestions{}, trug.Errorf(trug.Invalid, "character", "%s is answered in the record itself", given.Character)
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return FindQuestions{}, err
	}
	r := l.full().finds[f.ID].Record
	if given.Text != "" && l.people[r.RecorderID].Minor && !v.is(r.RecorderID) {
		return FindQuestions{}, notTheChilds("text")
	}
	r.Description = slices.DeleteFunc(slices.Clone(r.Description), func(x describe.Answer) bool { return x.Character == given.Character })
	answer, nothing, err := given.read(k.words)
	if err != nil {
		return FindQuestions{}, err
	}
	if !nothing {
		r.Description = append(r.Description, answer)
	}
	if err := r.Validate(); err != nil {
		return FindQuestions{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, r, a.author(v), a.Clock()) }); err != nil {
		return FindQuestions{}, err
	}
	return a.Questions(ctx, v, id)
}

// ownFind returns a find of the viewer's own; the coordinator answers for all.
func ownFind(v Viewer, l *ledger, id trug.ID) (*find, error) {
	f, err := l.seen(v, id)
	if err != nil {
		return nil, err
	}
	if !v.is(f.RecorderID) && !v.has(trug.Coordinator) {
		return nil, trug.Errorf(trug.NotAllowed, "", "Questions about a find are answered by its recorder or the coordinator.")
	}
	return f, nil
}
