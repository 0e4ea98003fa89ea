// Package asking is what a recorder is asked about a find, worked out where there
// is no server: the questions that tell most, how many kinds remain, and the
// description so far. No taxon leaves it, by name or by number.
package asking

import (
	"math"
	"slices"

	"trug/science/describe"
	"trug/science/key"
)

// Known is what is known of a find.
type Known struct {
	Answers []describe.Answer `json:"answers"`
	// Views are the kinds of view that are there: what they show is not asked.
	Views []string `json:"views"`
	// May are the things that may be done to it where it stands: "pick", "cut",
	// "dig", "print". What is not named may not.
	May []string `json:"may"`
}

// Asked is what comes of it.
type Asked struct {
	Remain    int        `json:"remain"`
	Kinds     int        `json:"kinds"`
	Outside   bool       `json:"outside"`
	Questions []Question `json:"questions"`
}

// Question is a character to be answered.
type Question struct {
	Character string  `json:"character"`
	Label     string  `json:"label"`
	Question  string  `json:"question"`
	Unit      string  `json:"unit,omitempty"`
	States    []State `json:"states"`
	// Sets is how many of the kinds that remain the answer is expected to set
	// aside.
	Sets int `json:"sets"`
}

// State is an answer that is offered.
type State struct {
	State string `json:"state"`
	Label string `json:"label"`
}

// Next returns the questions that tell most, at most most of them. Its errors are
// those of answers that don't fit the vocabulary.
func Next(words *describe.Vocabulary, k *key.Key, known Known, most int) (Asked, error) {
	answers := describe.Answers{}
	for _, a := range known.Answers {
		answers[a.Character] = a
	}
	f, err := k.Start(nil)
	if err != nil {
		return Asked{}, err
	}
	given, err := k.Answers(words, answers)
	if err != nil {
		return Asked{}, err
	}
	for _, a := range given {
		if err := f.Give(a); err != nil {
			return Asked{}, err
		}
	}
	open := map[string]describe.Character{}
	for _, c := range words.ToAsk("recorder", answers, known.Views) {
		if !slices.ContainsFunc(c.Look.Needs(), func(n string) bool { return !slices.Contains(known.May, n) }) {
			open[c.Name] = c
		}
	}
	out := Asked{Remain: len(f.Remaining()), Kinds: len(k.Taxa()), Outside: f.NotInKey() > .5, Questions: []Question{}}
	at := func(c int) string { return k.Characters()[c].ID }
	for _, q := range f.Next(key.Asking{Most: most, Skip: func(c int) bool { _, ok := open[at(c)]; return !ok }}) {
		out.Questions = append(out.Questions, questionOf(open[at(q.Character)], int(math.Round(q.Separates))))
	}
	return out, nil
}

func questionOf(c describe.Character, sets int) Question {
	q := Question{Character: c.Name, Label: c.Label, Question: c.Question, Unit: c.Unit, States: []State{}, Sets: sets}
	for _, s := range c.States {
		if s.StandsFor == describe.NotLookedFor || s.StandsFor == describe.NotVisible {
			continue
		}
		q.States = append(q.States, State{s.Name, s.Label})
	}
	return q
}
