package app

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/asking"
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
type GivenAnswer = asking.GivenAnswer

// readAnswer reads an answer; what does not fit is an error of kind Invalid.
func readAnswer(g GivenAnswer, words *describe.Vocabulary) (describe.Answer, bool, error) {
	a, nothing, err := g.Read(words)
	var number asking.BadNumber
	switch {
	case errors.As(err, &number):
		err = trug.Errorf(trug.Invalid, "number", "%v", err)
	case err != nil:
		err = trug.Errorf(trug.Invalid, "answer", "%v", err)
	}
	return a, nothing, err
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
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return FindQuestions{}, err
	}
	r := l.full().finds[f.ID].Record
	if err := l.answer(v, k, &r, given); err != nil {
		return FindQuestions{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, r, a.author(v), a.Clock()) }); err != nil {
		return FindQuestions{}, err
	}
	return a.Questions(ctx, v, id)
}

// answer puts an answer into a record's description, in place of one that was
// given before.
func (l *ledger) answer(v Viewer, k *seasonKey, r *trug.Record, given GivenAnswer) error {
	if slices.Contains(asking.OfTheRecord, given.Character) {
		return trug.Errorf(trug.Invalid, "character", "%s is answered in the record itself", given.Character)
	}
	if given.Text != "" && l.people[r.RecorderID].Minor && !v.is(r.RecorderID) {
		return notTheChilds("text")
	}
	r.Description = slices.DeleteFunc(slices.Clone(r.Description), func(x describe.Answer) bool { return x.Character == given.Character })
	answer, nothing, err := readAnswer(given, k.words)
	if err != nil {
		return err
	}
	if !nothing {
		r.Description = append(r.Description, answer)
	}
	return r.Validate()
}

// takeAnswers takes over the answers that came with a record.
func (a *App) takeAnswers(ctx context.Context, v Viewer, l *ledger, r *trug.Record, given []GivenAnswer) error {
	if len(given) == 0 {
		return nil
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return err
	}
	for _, g := range given {
		if err := l.answer(v, k, r, g); err != nil {
			return trug.Errorf(trug.Invalid, "answers", "%v", err)
		}
	}
	return nil
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
