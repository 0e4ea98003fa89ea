package app

import (
	"context"
	"math"
	"slices"
	"strings"

	"trug"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
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
	// Asked are the questions that would tell most, Open all that can be answered.
	Asked []ShownQuestion `json:"asked"`
	Open  []ShownQuestion `json:"open"`
	// Answered are the record's own answers and those tried, in order.
	Answered []ShownAnswer `json:"answered"`
	// Apart is what tells the two taxa apart that were asked to be compared.
	Apart []KeyApart `json:"apart"`
	About string     `json:"about"`
}

// KeyCandidate is a taxon that the find can be.
type KeyCandidate struct {
	Name        string      `json:"name"`
	Probability float64     `json:"probability"`
	For         []KeyReason `json:"for"`
	Against     []KeyReason `json:"against"`
}

// KeyReason is what one answer says of a candidate.
type KeyReason struct {
	Label string `json:"label"`
	Shows string `json:"shows"`
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
}

// aboutKey stands under every ranking.
const aboutKey = "A ranking is no name: people name. The key knows 173 species from one book, their names from memory. It says nothing about eating."

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
	words, answers := describe.Standing(), answersOf(f.Record)
	listed := slices.Clone(f.Description)
	for _, g := range asked.Answers {
		x, nothing, err := g.read()
		if err != nil {
			return KeySheet{}, err
		}
		if nothing {
			continue
		}
		answers[x.Character] = x
		listed = append(slices.DeleteFunc(listed, func(o describe.Answer) bool { return o.Character == x.Character }), x)
	}
	k, err := atTheKey(answers)
	if err != nil {
		return KeySheet{}, err
	}
	out := KeySheet{Plain: words.Prose(answers, describe.Plain), Technical: words.Prose(answers, describe.Technical), Remain: len(k.Remaining()),
		Kinds: len(k.Key().Taxa()), NotInKey: k.NotInKey(), Candidate: []KeyCandidate{}, Doubles: l.doubles(k), Asked: []ShownQuestion{},
		Open: []ShownQuestion{}, Answered: answered(words, listed), Apart: []KeyApart{}, About: aboutKey}
	for _, c := range k.Candidates(shownCandidates) {
		out.Candidate = append(out.Candidate, shownCandidate(k.Key(), c))
	}
	out.questions(k, words, answers)
	if len(asked.Compare) == 2 {
		out.Apart, err = apart(k, asked.Compare[0], asked.Compare[1])
	}
	return out, err
}

// questions fills in what can be asked: of the key, a determiner may answer
// any character, first the most telling.
func (s *KeySheet) questions(k *key.Find, words *describe.Vocabulary, answers describe.Answers) {
	for i, q := range k.Next(key.Asking{Skip: func(c int) bool { return !words.Applies(k.Key().Characters()[c].ID, answers) }}) {
		c, _ := words.Character(k.Key().Characters()[q.Character].ID)
		shown := shownQuestion(c)
		shown.Sets, shown.Remain = int(math.Round(q.Separates)), q.Remain
		if i < fewQuestions {
			s.Asked = append(s.Asked, shown)
		}
		s.Open = append(s.Open, shown)
	}
}

func shownCandidate(k *key.Key, c key.Candidate) KeyCandidate {
	reasons := func(list []key.Reason) []KeyReason {
		out := []KeyReason{}
		for _, r := range list {
			ch := k.Characters()[r.Character]
			out = append(out, KeyReason{ch.Label, entryWords(ch, r.Entry)})
		}
		return out
	}
	return KeyCandidate{k.Taxa()[c.Taxon].Name, c.Probability, reasons(c.For), reasons(c.Against)}
}

// doubles joins the traps that are known from the start with the season's own
// list of look-alikes.
func (l *ledger) doubles(k *key.Find) []KeyDouble {
	traps := slices.Clone(starter.Traps())
	for _, x := range l.alikes {
		if !slices.ContainsFunc(traps, func(t key.Trap) bool { return t.Dangerous == x.Name && t.TakenFor == x.TakenFor }) {
			traps = append(traps, key.Trap{Dangerous: x.Name, TakenFor: x.TakenFor, Why: x.Why, Says: x.Settles})
		}
	}
	slices.SortFunc(traps, func(a, b key.Trap) int { return strings.Compare(a.Dangerous+a.TakenFor, b.Dangerous+b.TakenFor) })
	out := []KeyDouble{}
	for _, w := range k.Warnings(traps) {
		d := KeyDouble{w.Trap.Dangerous, w.Trap.TakenFor, w.Trap.Why, w.Trap.Says, []string{}}
		for _, id := range w.Open {
			if c, ok := describe.Standing().Character(id); ok {
				d.Open = append(d.Open, c.Label)
			}
		}
		out = append(out, d)
	}
	return out
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
		out = append(out, KeyApart{ch.Label, entryWords(ch, d.One), entryWords(ch, d.Two)})
	}
	return out, nil
}

// manyStates is how many states of an entry are named.
const manyStates = 5

// entryWords tells an entry of the key's matrix.
func entryWords(c matrix.Character, e matrix.Entry) string {
	switch e.Status {
	case matrix.Blank:
		return "not known"
	case matrix.Depends:
		return "varies"
	case matrix.Inapplicable:
		return "does not apply"
	}
	var parts []string
	for _, s := range e.States {
		if !s.Doubtful {
			parts = append(parts, lowerFirst(c.States[s.State].Label))
		}
	}
	for _, n := range e.Numbers {
		parts = append(parts, strings.TrimSpace(n.Typeset()+" "+c.Unit))
	}
	if len(parts) > manyStates {
		parts = append(parts[:manyStates-1], "others")
	}
	return strings.Join(parts, " or ")
}
