package app

import (
	"context"
	"maps"
	"math"
	"slices"

	"trug"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/asking"
)

// KeySheet is the key to one find, for determiners: its description, the
// candidates with what speaks for and against each, the doubles that stand
// open and the questions that would tell most. A ranking is no name.
type KeySheet struct {
	// Plain and Technical are the description in words.
	Plain     string         `json:"plain"`
	Technical string         `json:"technical"`
	Remain    int            `json:"remain"`
	Kinds     int            `json:"kinds"`
	NotInKey  float64        `json:"notInKey"`
	Candidate []KeyCandidate `json:"candidates"`
	// Doubles are dangerous look-alikes that the evidence does not settle.
	Doubles []KeyDouble `json:"doubles"`
	// Asked are the questions that would tell most, Open all that can be
	// answered: first the most telling, last those that have an answer already.
	Asked []ShownQuestion `json:"asked"`
	Open  []ShownQuestion `json:"open"`
	// Answered are the record's own answers and those tried, in order.
	Answered []ShownAnswer `json:"answered"`
	// Apart is what tells the two taxa apart that were asked to be compared.
	Apart []KeyApart `json:"apart"`
	About string     `json:"about"`
	// Learned counts the settled finds that changed entries of the key; 0 where
	// the season does not learn.
	Learned int `json:"learned"`
	// Expects says that the time of year, the kind of place and what has been
	// recorded were reckoned with.
	Expects bool `json:"expects"`
}

// KeyCandidate is a taxon that the find can be.
type KeyCandidate struct {
	Name        string      `json:"name"`
	Probability float64     `json:"probability"`
	For         []KeyReason `json:"for"`
	Against     []KeyReason `json:"against"`
	// Expected says what was known of it before the find was looked at; empty
	// where that was not reckoned with.
	Expected string `json:"expected"`
}

// KeyReason is what one answer says of a candidate.
type KeyReason struct {
	Label string `json:"label"`
	Shows string `json:"shows"`
	// Finds counts the settled finds that the entry was learned from, 0 for the
	// book's word.
	Finds int `json:"finds"`
}

// KeyDouble is a dangerous look-alike that stands open.
type KeyDouble struct {
	Name     string   `json:"name"`
	TakenFor string   `json:"takenFor"`
	Why      string   `json:"why"`
	Settles  string   `json:"settles"`
	Open     []string `json:"open"`
}

// KeyApart is a character that tells two taxa apart.
type KeyApart struct {
	Label string `json:"label"`
	One   string `json:"one"`
	Two   string `json:"two"`
}

// KeyAsked is what a determiner tries at the key; nothing of it is kept.
type KeyAsked struct {
	Answers []GivenAnswer `json:"answers,omitempty" maxItems:"200"`
	// Compare names two candidates.
	Compare []string `json:"compare,omitempty" maxItems:"2"`
	// Expects reckons with the time of year, the kind of place and what has
	// been recorded; left out, as the season does.
	Expects *bool `json:"expects,omitempty"`
}

// shownCandidates is how many are shown.
const shownCandidates = 7

// KeyOf returns the key to a find on the table, with what the determiner tries
// beside the record's own answers.
func (a *App) KeyOf(ctx context.Context, v Viewer, id trug.ID, asked KeyAsked) (KeySheet, error) {
	l, err := a.open(ctx, v, PutName)
	if err != nil {
		return KeySheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return KeySheet{}, err
	}
	s, err := a.keyOf(ctx, l)
	if err != nil {
		return KeySheet{}, err
	}
	if s, err = s.without(f.ID); err != nil {
		return KeySheet{}, err
	}
	answers, listed, err := s.tried(l, v, f, asked.Answers)
	if err != nil {
		return KeySheet{}, err
	}
	var expects expected
	var prior []float64
	if asked.Expects == nil && l.season.Key.Expects || asked.Expects != nil && *asked.Expects {
		expects = s.expect(l, f)
		prior = key.Prior(expects.taxa)
	}
	k, err := s.put(answers, prior)
	if err != nil {
		return KeySheet{}, err
	}
	told := maps.Clone(answers)
	maps.Copy(told, dated(f.Record))
	out := KeySheet{Plain: s.words.Prose(told, describe.Plain), Technical: s.words.Prose(told, describe.Technical), Remain: len(k.Remaining()),
		Kinds: len(k.Key().Taxa()), NotInKey: k.NotInKey(), Candidate: []KeyCandidate{}, Doubles: l.doubles(k, s.words), Asked: []ShownQuestion{},
		Open: []ShownQuestion{}, Answered: listed, Apart: []KeyApart{}, About: s.book.Title + ". " + key.Caution,
		Expects: prior != nil}
	if len(s.changes) > 0 {
		out.Learned = len(s.lessons(f.ID))
	}
	for _, c := range k.Candidates(shownCandidates) {
		shown := shownCandidate(k.Key(), c)
		if prior != nil {
			shown.Expected = expects.tell(c.Taxon)
		}
		out.Candidate = append(out.Candidate, shown)
	}
	out.questions(k, s.words, answers)
	if len(asked.Compare) == 2 {
		out.Apart, err = apart(k, asked.Compare[0], asked.Compare[1])
	}
	return out, err
}

// tried joins what is known of a find with what a determiner tries; listed holds
// what was answered one by one, in order, and then what was measured.
func (k *seasonKey) tried(l *ledger, v Viewer, f *find, given []GivenAnswer) (answers describe.Answers, listed []ShownAnswer, err error) {
	answers, measured := k.evidence(l, v, f)
	own := slices.Clone(f.Description)
	for _, g := range given {
		x, nothing, err := readAnswer(g, k.words)
		if err != nil {
			return nil, nil, err
		}
		if nothing {
			continue
		}
		answers[x.Character] = x
		delete(measured, x.Character)
		own = append(slices.DeleteFunc(own, func(o describe.Answer) bool { return o.Character == x.Character }), x)
	}
	return answers, k.listed(l, v, f, own, measured), nil
}

// questions fills in what can be asked: of the key, a determiner may answer
// any character, first the most telling.
func (s *KeySheet) questions(k *key.Find, words *describe.Vocabulary, answers describe.Answers) {
	for _, q := range k.Next(key.Asking{Skip: func(c int) bool { return !askable(words, k.Key().Characters()[c].ID, answers) }}) {
		c, _ := words.Character(k.Key().Characters()[q.Character].ID)
		shown := asking.Shown(c)
		shown.Sets, shown.Remain = int(math.Round(q.Separates)), q.Remain
		// What takes something for granted can be answered, but is not put first.
		sensible := !slices.ContainsFunc(words.After(c.Name), func(of string) bool { return len(answers[of].States) == 0 })
		if sensible && len(s.Asked) < asking.Few {
			s.Asked = append(s.Asked, shown)
		}
		s.Open = append(s.Open, shown)
	}
	for _, a := range k.Answers() {
		if id := k.Key().Characters()[a.Character].ID; askable(words, id, answers) {
			c, _ := words.Character(id)
			s.Open = append(s.Open, asking.Shown(c))
		}
	}
}

// askable reports whether a determiner can answer a character of the find: not
// what the date tells, nor what does not apply.
func askable(words *describe.Vocabulary, character string, answers describe.Answers) bool {
	c, ok := words.Character(character)
	return ok && c.Look != describe.Date && words.Applies(character, answers)
}

func shownCandidate(k *key.Key, c key.Candidate) KeyCandidate {
	reasons := func(list []key.Reason) []KeyReason {
		out := []KeyReason{}
		for _, r := range list {
			ch := k.Characters()[r.Character]
			out = append(out, KeyReason{ch.Name(), ch.Tell(r.Entry), r.Entry.Counted()})
		}
		return out
	}
	return KeyCandidate{Name: k.Taxa()[c.Taxon].Name, Probability: c.Probability, For: reasons(c.For), Against: reasons(c.Against)}
}

// apart tells what tells two taxa apart.
func apart(k *key.Find, a, b string) ([]KeyApart, error) {
	one, two := k.Key().Taxon(a), k.Key().Taxon(b)
	if one < 0 || two < 0 {
		return nil, trug.Errorf(trug.Invalid, "compare", "one of the two is not in the key")
	}
	out := []KeyApart{}
	for _, d := range k.Compare(one, two) {
		if len(out) == 10 || d.Bits < 0.01 {
			break
		}
		ch := k.Key().Characters()[d.Character]
		out = append(out, KeyApart{ch.Name(), ch.Tell(d.One), ch.Tell(d.Two)})
	}
	return out, nil
}
