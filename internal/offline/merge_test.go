package offline

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"trug"
)

// server is the least that keeps the rule: what stands, what it went through,
// every value that ever stood or was put down, and which messages came.
type server struct {
	now     Values
	changes []Change
	version int
	ever    map[string]map[string]bool
	came    map[string]bool
}

func newServer() *server {
	return &server{now: Values{}, ever: map[string]map[string]bool{}, came: map[string]bool{}}
}

func (s *server) put(field string, value json.RawMessage) {
	if s.ever[field] == nil {
		s.ever[field] = map[string]bool{}
	}
	s.ever[field][string(plain(value))] = true
}

func (s *server) take(m Message) {
	key := fmt.Sprint(m.Phone, m.Number)
	if s.came[key] {
		return
	}
	s.came[key] = true
	out := Merge(s.changes, s.now, m)
	for f := range m.Set {
		s.put(f, m.Set[f])
	}
	s.now = s.now.With(m, out.Take)
	s.version++
	s.changes = append(s.changes, Change{s.version, m.Phone, m.Number, out.Take})
}

func (s *server) desk(field string, value json.RawMessage) {
	s.put(field, value)
	s.now = s.now.With(Message{Set: Values{field: value}}, []string{field})
	s.version++
	s.changes = append(s.changes, Change{Version: s.version, Fields: []string{field}})
}

func phone(n int) trug.ID {
	id, err := trug.NewID(time.Unix(int64(n), 0), zeros{})
	if err != nil {
		panic(err)
	}
	return id
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// entered is what a phone enters: some fields, numbered by phone and message so
// that no two values are alike.
func entered(r *rand.Rand, p int, number int64, seen int) Message {
	m := Message{Phone: phone(p), Number: number, Record: phone(99), Seen: seen, Set: Values{}}
	for range 1 + r.IntN(3) {
		field := []string{"remarks", "host", "smell", "form"}[r.IntN(4)]
		m.Set[field] = json.RawMessage(fmt.Sprintf("%q", fmt.Sprintf("%d.%d", p, number)))
	}
	return m
}

// A phone's messages come to the same whatever their order, and however often
// each comes.
func TestOnePhoneInAnyOrder(t *testing.T) {
	for seed := range uint64(2000) {
		r := rand.New(rand.NewPCG(seed, 1))
		var list []Message
		for n := range int64(1 + r.IntN(6)) {
			list = append(list, entered(r, 1, n+1, 0))
		}
		straight, shuffled := newServer(), newServer()
		for _, m := range list {
			straight.take(m)
		}
		again := append(slices.Clone(list), list...)
		r.Shuffle(len(again), func(i, j int) { again[i], again[j] = again[j], again[i] })
		for _, m := range again {
			shuffled.take(m)
		}
		if !maps.EqualFunc(straight.now, shuffled.now, Same) {
			t.Fatalf("seed %d: in order %s, shuffled %s", seed, straight.now, shuffled.now)
		}
	}
}

// Whatever phones and desk do, and in whichever order messages come and come
// again: every value that was sent stands or is in the history, a message that
// comes again changes nothing, what one side had not seen it never displaces,
// and who goes through the same changes again comes to the same.
func TestNothingIsLost(t *testing.T) {
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 2))
		s := newServer()
		var waiting, sent []Message
		numbers := map[int]int64{}
		for step := range 25 {
			switch r.IntN(4) {
			case 0:
				s.desk([]string{"remarks", "host"}[r.IntN(2)], json.RawMessage(fmt.Sprintf(`"desk %d"`, step)))
			case 1:
				p := 1 + r.IntN(3)
				numbers[p]++
				waiting = append(waiting, entered(r, p, numbers[p], r.IntN(s.version+1)))
			case 2:
				if len(waiting) > 0 {
					i := r.IntN(len(waiting))
					m := waiting[i]
					waiting = slices.Delete(waiting, i, i+1)
					before := maps.Clone(s.now)
					changes := slices.Clone(s.changes)
					s.take(m)
					sent = append(sent, m)
					unseenStays(t, seed, changes, before, s.now, m)
				}
			case 3:
				if len(sent) > 0 {
					before, version := maps.Clone(s.now), s.version
					s.take(sent[r.IntN(len(sent))])
					if version != s.version || !maps.EqualFunc(before, s.now, Same) {
						t.Fatalf("seed %d: a message that came again changed %s to %s", seed, before, s.now)
					}
				}
			}
		}
		for _, m := range sent {
			for field, value := range m.Set {
				if !s.ever[field][string(plain(value))] {
					t.Fatalf("seed %d: %s %s is nowhere", seed, field, value)
				}
			}
		}
	}
}

// unseenStays checks by itself, without standsAgainst, that a field changed by
// another since the version seen kept its value.
func unseenStays(t *testing.T, seed uint64, changes []Change, before, after Values, m Message) {
	t.Helper()
	for _, c := range changes {
		for _, field := range c.Fields {
			if c.Version > m.Seen && c.Phone != m.Phone && !Same(before[field], after[field]) {
				t.Fatalf("seed %d: %s was changed in version %d, the phone had seen %d, and it became %s", seed, field, c.Version, m.Seen, after[field])
			}
		}
	}
}

// The cases that people will meet, told by hand.
func TestMergeByExample(t *testing.T) {
	text := func(s string) json.RawMessage { return json.RawMessage(fmt.Sprintf("%q", s)) }
	desk := func(v int, fields ...string) Change { return Change{Version: v, Fields: fields} }
	from := func(v, p int, n int64, fields ...string) Change { return Change{v, phone(p), n, fields} }
	for name, c := range map[string]struct {
		changes []Change
		now     Values
		m       Message
		take    []string
		lost    []Loss
	}{
		"a new record": {m: Message{Phone: phone(1), Number: 1, Set: Values{"remarks": text("by the oak"), "form": text("gilled")}},
			take: []string{"form", "remarks"}},
		"the desk changed it and the phone had not seen it": {changes: []Change{from(1, 1, 1, "remarks"), desk(2, "remarks")}, now: Values{"remarks": text("by the beech")},
			m: Message{Phone: phone(1), Number: 2, Seen: 1, Set: Values{"remarks": text("by the old oak")}}, lost: []Loss{{"remarks", Unseen}}},
		"the desk changed another field": {changes: []Change{from(1, 1, 1, "remarks"), desk(2, "host")}, now: Values{"remarks": text("a")},
			m: Message{Phone: phone(1), Number: 2, Seen: 1, Set: Values{"remarks": text("b")}}, take: []string{"remarks"}},
		"the phone had seen what the desk changed": {changes: []Change{from(1, 1, 1, "remarks"), desk(2, "remarks")}, now: Values{"remarks": text("a")},
			m: Message{Phone: phone(1), Number: 2, Seen: 2, Set: Values{"remarks": text("b")}}, take: []string{"remarks"}},
		"the other phone of the family was first": {changes: []Change{from(1, 1, 1, "remarks"), from(2, 2, 1, "remarks")}, now: Values{"remarks": text("a")},
			m: Message{Phone: phone(1), Number: 2, Seen: 1, Set: Values{"remarks": text("b"), "host": text("oak")}}, take: []string{"host"}, lost: []Loss{{"remarks", Unseen}}},
		"both phones said the same": {changes: []Change{from(1, 2, 1, "remarks")}, now: Values{"remarks": text("a")},
			m: Message{Phone: phone(1), Number: 1, Set: Values{"remarks": json.RawMessage(` "a"`)}}, take: []string{"remarks"}},
		"a phone's own messages the wrong way round": {changes: []Change{from(1, 1, 2, "remarks")}, now: Values{"remarks": text("b")},
			m: Message{Phone: phone(1), Number: 1, Set: Values{"remarks": text("a"), "host": text("oak")}}, take: []string{"host"}, lost: []Loss{{"remarks", Older}}},
		"two views are called others, and the desk had called one so": {changes: []Change{desk(1, KindField(phone(7))), desk(9, "remarks")}, now: Values{KindField(phone(7)): text("side"), KindField(phone(8)): text("top")},
			m:    Message{Phone: phone(1), Number: 1, Seen: 99, Kinds: []Renaming{{phone(8), trug.Side, 0}, {phone(7), trug.Base, 0}}}.Apart(),
			take: []string{KindField(phone(8))}, lost: []Loss{{KindField(phone(7)), Unseen}}},
		"the phone had seen what the view was called": {changes: []Change{desk(1, KindField(phone(7)))}, now: Values{KindField(phone(7)): text("side")},
			m: Message{Phone: phone(1), Number: 1, Seen: 0, Kinds: []Renaming{{phone(7), trug.Base, 1}}}.Apart(), take: []string{KindField(phone(7))}},
		"a phone's own later name stands": {changes: []Change{from(1, 1, 2, KindField(phone(7)))}, now: Values{KindField(phone(7)): text("side")},
			m: Message{Phone: phone(1), Number: 1, Kinds: []Renaming{{phone(7), trug.Base, 0}}}.Apart(), lost: []Loss{{KindField(phone(7)), Older}}},
		"blanked": {changes: []Change{from(1, 1, 1, "remarks")}, now: Values{"remarks": text("a")},
			m: Message{Phone: phone(1), Number: 2, Seen: 1, Set: Values{"remarks": nil}}, take: []string{"remarks"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := Merge(c.changes, c.now, c.m)
			if !slices.Equal(got.Take, c.take) || !slices.Equal(got.Lost, c.lost) {
				t.Errorf("takes %v and loses %v, want %v and %v", got.Take, got.Lost, c.take, c.lost)
			}
		})
	}
}

func TestRenamingsThatCannotBeRead(t *testing.T) {
	for name, bad := range map[string][]Renaming{"no photograph": {{"", trug.Top, 0}}, "no kind": {{phone(7), "", 0}}, "twice": {{phone(7), trug.Top, 0}, {phone(7), trug.Side, 0}}, "seen less than nothing": {{phone(7), trug.Top, -1}},
		"no kind of view": {{phone(7), "belly", 0}}} {
		if err := (Message{Phone: phone(1), Number: 1, Record: phone(99), Kinds: bad}).Validate(); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestClockAhead(t *testing.T) {
	now := time.Date(2026, 10, 10, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		sent time.Time
		want time.Duration
	}{
		{now.Add(3 * time.Hour), 3 * time.Hour}, {now.Add(-2 * time.Second), -2 * time.Second},
		{time.Time{}, 0}, {now.AddDate(80, 0, 0), 0}, {time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC), 0},
	} {
		if got := (Message{Sent: c.sent}).ClockAhead(now); got != c.want {
			t.Errorf("a phone that says %s at %s is ahead by %s, want %s", c.sent, now, got, c.want)
		}
	}
}

func FuzzMessage(f *testing.F) {
	f.Add([]byte(`{"phone":"01999999-0000-7000-8000-000000000000","number":1,"record":"01999999-0000-7000-8000-000000000001","set":{"remarks":"oak"},"views":[]}`))
	f.Add([]byte(`{"set":{"none":1},"views":[{"photograph":"x"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var m Message
		if json.Unmarshal(data, &m) != nil {
			return
		}
		_ = m.Validate()
		out := Merge(nil, nil, m)
		for _, field := range append(out.Take, "remarks") {
			if !Same(m.Set[field], m.Set[field]) {
				t.Errorf("%s is not the same as itself", m.Set[field])
			}
		}
	})
}
