package app

import (
	"context"
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/asking"
	"trug/science/said"
)

// FindQuestions is what a recorder is asked about a find: the questions that
// tell most, the group and how many kinds remain. It never names a species:
// naming is done by people (see "Who sees what the program thinks").
type FindQuestions struct {
	// Group is what the find looks like, in plain words; empty while nobody
	// has said.
	Group string `json:"group"`
	// Remain counts the kinds of the key that remain, Kinds all that it knows.
	Remain int `json:"remain"`
	Kinds  int `json:"kinds"`
	// Outside says that the key knows few fungi like this one: the answers
	// help people all the same.
	Outside   bool            `json:"outside"`
	Questions []ShownQuestion `json:"questions"`
	// Told is the description so far, in plain words.
	Told string `json:"told"`
	// Answered lists what was answered, so that it can be changed.
	Answered []ShownAnswer `json:"answered"`
	Said     said.Fields   `json:"said,omitempty"`
}

// ShownQuestion is one question, QuestionState an answer that is offered.
type (
	ShownQuestion = asking.ShownQuestion
	QuestionState = asking.QuestionState
)

// ShownAnswer is an answer as it stands.
type ShownAnswer struct {
	Character string `json:"character"`
	Label     string `json:"label"`
	Answer    string `json:"answer"`
	// From says where the answer was filled from or measured, and by whom; empty
	// for one of somebody's own. Sizes are the measurements behind it.
	From  string      `json:"from"`
	Sizes []trug.ID   `json:"sizes"`
	Said  said.Fields `json:"said,omitempty"`
}

// Questions returns what would help most to know about one's own find. What a
// view shows is not asked, nor what the site's rules bar.
func (a *App) Questions(ctx context.Context, v Viewer, id trug.ID) (FindQuestions, error) {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return FindQuestions{}, err
	}
	f, err := ownFind(v, l, id)
	if err != nil {
		return FindQuestions{}, err
	}
	s, err := a.keyOf(ctx, l)
	if err != nil {
		return FindQuestions{}, err
	}
	known, measured := s.known(l, v, f)
	if l.season.Key.Expects {
		known.Prior = key.Prior(s.expect(l, f).taxa)
	}
	next, err := asking.Next(s.words, s.key, known, asking.Few)
	if err != nil {
		return FindQuestions{}, trug.Errorf(trug.Invalid, "answers", "%v", err)
	}
	out := FindQuestions{Remain: next.Remain, Kinds: next.Kinds, Told: next.Told, Outside: next.Outside, Questions: next.Questions,
		Answered: s.listed(l, v, f, f.Description, measured)}
	out.Group, out.Said = groupOf(f)
	return out, nil
}

// groupOf is what a find looks like, in plain words and for other languages; nothing
// while nobody has said.
func groupOf(f *find) (group string, told said.Fields) {
	if f.Form != "" {
		group = label("form", f.Form)
		told.Put("group", labelSaid("form", f.Form))
	}
	return group, told
}

// known is what is known of a find, as questions about it are chosen; measured is
// what of it was measured. What is expected of place and time is not in it.
func (k *seasonKey) known(l *ledger, v Viewer, f *find) (known asking.Known, measured describe.Answers) {
	evidence, measured := k.evidence(l, v, f)
	answers := maps.Clone(evidence)
	maps.Copy(answers, dated(f.Record))
	return asking.Known{Answers: answers, Views: l.viewKinds(f), May: l.mayDo(f)}, measured
}

// answered puts answers into words one by one; origin says where one was filled
// from.
func answered(words *describe.Vocabulary, list []describe.Answer, origin func(describe.Answer) said.Sentence) []ShownAnswer {
	out := []ShownAnswer{}
	for _, a := range list {
		c, ok := words.Character(a.Character)
		if !ok {
			continue
		}
		text := string(words.Meaning(a))
		if facts := words.Facts(describe.Answers{a.Character: a}, describe.Plain); len(facts) > 0 {
			// Beside "Cap colours" a sentence's "coloured" says it twice.
			text = strings.TrimPrefix(facts[0].Text, "coloured ")
		}
		shown := ShownAnswer{Character: a.Character, Label: c.Label, Answer: text, From: origin(a).String(), Sizes: []trug.ID{}}
		shown.Said.Put("label", said.As(said.Words(c.Label)))
		shown.Said.Put("answer", answerSaid(words, c, a))
		shown.Said.Put("from", origin(a))
		out = append(out, shown)
	}
	return out
}

// answerSaid puts an answer into words for other languages: its states one
// after another, its figures, or why there is none.
func answerSaid(words *describe.Vocabulary, c describe.Character, a describe.Answer) any {
	if b := words.Meaning(a); b != describe.Answered {
		return said.As(map[describe.Blank]said.Words{describe.NotLookedFor: "not looked for", describe.NotVisible: "not visible", describe.Absent: "absent"}[b])
	}
	switch {
	case a.Number != nil && c.Unit == "count":
		return a.Number.Typeset()
	case a.Number != nil:
		return a.Number.Typeset() + " " + c.Unit
	case len(a.States) == 0:
		return a.Text
	}
	var states said.List
	if a.Either {
		states.By = said.Or
	}
	for _, s := range c.States {
		if slices.Contains(a.States, s.Name) {
			states.List = append(states.List, said.Inside{Inside: said.As(said.Words(s.Label))})
		}
	}
	return states
}

// listed puts what is known of a find into words one by one: what was answered,
// in order, and what was measured, with its origin.
func (k *seasonKey) listed(l *ledger, v Viewer, f *find, own []describe.Answer, measured describe.Answers) []ShownAnswer {
	own = slices.DeleteFunc(slices.Clone(own), func(a describe.Answer) bool { _, is := measured[a.Character]; return is })
	from := func(x describe.Answer) said.Sentence { return l.originOf(v, f, x) }
	out := answered(k.words, own, from)
	for _, c := range k.words.Characters() {
		a, ok := measured[c.Name]
		if !ok {
			continue
		}
		for _, shown := range answered(k.words, []describe.Answer{a}, from) {
			says := said.List{By: "; "}
			for _, m := range l.sizesFor(v, f) {
				if m.Character == c.Name {
					shown.Sizes = append(shown.Sizes, m.ID)
					says.List = append(says.List, said.As("{size} in the view {view} by {person}", "size", sizeSaid(m), "view", f.kindOf(m.ViewID).Said(), "person", l.person(m.By)))
				}
			}
			origin := said.As("Measured on the field card: {sizes}.", "sizes", says)
			shown.From = origin.String()
			shown.Said.Put("from", origin)
			out = append(out, shown)
		}
	}
	return out
}

// mayDo lists what may be done to a find where it stands.
func (l *ledger) mayDo(f *find) []string {
	var out []string
	for _, p := range Prompts {
		if l.rule(f.SiteID, f.Found.Date, f.untouched(), p).May {
			out = append(out, string(p))
		}
	}
	return out
}

// viewKinds lists the kinds of view that a find has, as the key knows them.
func (l *ledger) viewKinds(f *find) []string {
	var out []string
	for _, k := range l.kinds(f) {
		out = append(out, string(k))
	}
	return out
}
