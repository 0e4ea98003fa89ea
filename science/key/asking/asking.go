// Package asking is what a recorder is asked about a find: the questions that
// tell most, how many kinds remain, and the description so far. A phone out of
// reach works it out as the server does. No taxon leaves it, by name or by number.
package asking

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"trug/science/describe"
	"trug/science/key"
)

// Few is how many questions a recorder is asked.
const Few = 5

// OfTheRecord lists the characters that every record has a field for: they are
// answered there, and not asked again.
var OfTheRecord = []string{"form", "substrate", "habit", "ripeness", "smell", "spore_print", "host", "number_seen", "season"}

// Known is what is known of a find.
type Known struct {
	Answers describe.Answers
	// Views are the kinds of view that are there: what they show is not asked.
	Views []string
	// May are the things that may be done to it where it stands: "pick", "cut",
	// "dig", "print". What is not named may not.
	May []string
	// Prior is the probability of each taxon before the first answer; nil where
	// nothing is expected.
	Prior []float64
}

// Asked is what comes of it.
type Asked struct {
	// Remain counts the kinds of the key that remain, Kinds all that it knows.
	Remain int `json:"remain"`
	Kinds  int `json:"kinds"`
	// Outside says that the key knows few fungi like this one: the answers help
	// people all the same.
	Outside   bool            `json:"outside"`
	Questions []ShownQuestion `json:"questions"`
	// Told is the description so far, in plain words.
	Told string `json:"told"`
}

// ShownQuestion is one question.
type ShownQuestion struct {
	Character string          `json:"character"`
	Label     string          `json:"label"`
	Question  string          `json:"question"`
	Technical string          `json:"technical"`
	Unit      string          `json:"unit"`
	Several   bool            `json:"several" doc:"Several states may be ticked"`
	States    []QuestionState `json:"states"`
	// Sets is how many of the kinds that remain the answer is expected to set
	// aside; 0 where the key knows too little to say.
	Sets   int `json:"sets"`
	Remain int `json:"remain"`
}

// QuestionState is an answer that is offered.
type QuestionState struct {
	State string `json:"state"`
	Label string `json:"label"`
	Says  string `json:"says"`
	// Technical is the term of the trade.
	Technical string `json:"technical"`
	// Drawing is an SVG of our own; empty where words do.
	Drawing string `json:"drawing"`
}

// Next returns the questions that tell most, at most most of them; where the key
// can't tell which matter, those that cost least to answer. Its errors are those
// of answers that don't fit the vocabulary.
func Next(words *describe.Vocabulary, k *key.Key, known Known, most int) (Asked, error) {
	f, err := k.Start(known.Prior)
	if err != nil {
		return Asked{}, err
	}
	// The time of year is no character of a fungus: it weighs among what is expected.
	weighed := describe.Answers{}
	for c, a := range known.Answers {
		if c != "season" {
			weighed[c] = a
		}
	}
	given, err := k.Answers(words, weighed)
	if err != nil {
		return Asked{}, err
	}
	for _, a := range given {
		if err := f.Give(a); err != nil {
			return Asked{}, err
		}
	}
	out := Asked{Remain: len(f.Remaining()), Kinds: len(k.Taxa()), Outside: f.NotInKey() > .5, Questions: []ShownQuestion{},
		Told: words.Prose(known.Answers, describe.Plain)}
	open := openTo(words, known)
	if out.Outside {
		out.Questions = cheapest(open, most)
		return out, nil
	}
	at := func(c int) string { return k.Characters()[c].ID }
	for _, q := range f.Next(key.Asking{Most: most, Skip: func(c int) bool {
		return !slices.ContainsFunc(open, func(o describe.Character) bool { return o.Name == at(c) })
	}}) {
		c, _ := words.Character(at(q.Character))
		shown := Shown(c)
		shown.Sets, shown.Remain = int(math.Round(q.Separates)), q.Remain
		out.Questions = append(out.Questions, shown)
	}
	return out, nil
}

// openTo lists the characters that a recorder may still be asked about.
func openTo(words *describe.Vocabulary, known Known) []describe.Character {
	return slices.DeleteFunc(words.ToAsk("recorder", known.Answers, known.Views), func(c describe.Character) bool {
		barred := slices.ContainsFunc(c.Look.Needs(), func(n string) bool { return !slices.Contains(known.May, n) })
		return barred || slices.Contains(OfTheRecord, c.Name)
	})
}

// cheapest returns the questions that cost least to answer.
func cheapest(open []describe.Character, most int) []ShownQuestion {
	slices.SortStableFunc(open, func(a, b describe.Character) int { return cmp.Compare(a.Look.Effort(), b.Look.Effort()) })
	out := []ShownQuestion{}
	for _, c := range open[:min(len(open), most)] {
		out = append(out, Shown(c))
	}
	return out
}

// Shown is a character as a question.
func Shown(c describe.Character) ShownQuestion {
	out := ShownQuestion{Character: c.Name, Label: c.Label, Question: c.Question, Technical: c.Technical, Unit: c.Unit, Several: c.Kind.HasStates(), States: []QuestionState{}}
	for _, s := range c.States {
		// "Can't tell" and "not looked for" are buttons of every question.
		// States that only read the published data are not offered to people.
		if s.StandsFor == describe.NotLookedFor || s.StandsFor == describe.NotVisible || strings.Contains(s.Says, "2021 data") {
			continue
		}
		drawing, _ := describe.Drawing(c.Name, s.Name)
		out.States = append(out.States, QuestionState{s.Name, s.Label, s.Says, s.Technical, string(drawing)})
	}
	return out
}
