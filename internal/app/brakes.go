package app

import (
	"sync"
	"time"

	"trug"
	"trug/internal/signin"
)

// brake bounds how often something is asked for from one place, in memory: a
// restart forgets it, and nothing of whoever asks is kept. Guesses, which must
// outlast a restart, are counted in the store.
type brake struct {
	says   string // with one %s for how long to wait
	limits map[string]signin.Limit

	mu     sync.Mutex
	levels map[string]signin.Level
}

// mostPlaces bounds the memory of a brake. Where more ask within the few
// minutes that a count lasts, all counts are forgotten rather than kept.
const mostPlaces = 20_000

// ofMaker counts what one person who has come in asks for.
const ofMaker = "person"

func newBrake(says string, limits map[string]signin.Limit) *brake {
	return &brake{says: says, limits: limits, levels: map[string]signin.Level{}}
}

// take counts one more of each place, given by its sort, or refuses with an
// error of kind TooOften and counts nothing. Empty places are not counted.
func (b *brake) take(now time.Time, places map[string]string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	wait := time.Duration(0)
	for of, place := range places {
		if l, ok := b.limits[of]; ok && place != "" {
			wait = max(wait, l.Wait(b.levels[of+"\x00"+place], now))
		}
	}
	if wait > 0 {
		return trug.Errorf(trug.TooOften, "", b.says, timeWords(wait))
	}
	if len(b.levels) > mostPlaces {
		clear(b.levels)
	}
	for of, place := range places {
		if l, ok := b.limits[of]; ok && place != "" {
			b.levels[of+"\x00"+place] = l.Pour(b.levels[of+"\x00"+place], now)
		}
	}
	return nil
}

// places are what a caller is counted by.
func (c Caller) places() map[string]string {
	return map[string]string{ofDevice: c.Device, ofAddress: c.network()}
}

// brakes are those of an app. Their figures are our own judgement.
type brakes struct {
	// ceremonies are passkeys asked for. A workshop of determiners comes in
	// behind one address; nobody asks for twenty at once.
	ceremonies *brake
	// slow are tries of what takes 64 MiB and a good part of a second, right
	// ones too, which are no guesses: who has one good phrase is not to keep the
	// others from theirs.
	slow *brake
	// making are new phrases, codes and passwords of somebody who has come in.
	making *brake
}

func newBrakes() brakes {
	return brakes{
		ceremonies: newBrake("Many passkeys were asked for from here in a short time. Wait %s, then try again.",
			map[string]signin.Limit{ofDevice: {Guesses: 20, Each: 15 * time.Second}, ofAddress: {Guesses: 120, Each: 3 * time.Second}}),
		slow: newBrake("Many have signed in from here in a short time. Wait %s, then try again.",
			map[string]signin.Limit{ofDevice: {Guesses: 20, Each: 10 * time.Second}, ofAddress: {Guesses: 200, Each: 2 * time.Second}}),
		making: newBrake("You have asked for many new ways in in a short time. Wait %s, then try again.",
			map[string]signin.Limit{ofMaker: {Guesses: 12, Each: time.Minute}}),
	}
}

// slowWay reports whether the check of a way in takes long.
func slowWay(what trug.WayIn) bool {
	return what == trug.ByPhrase || what == trug.ByPassword || what == trug.ByRecoveryCode
}

// makes counts that the viewer, who has come in, makes a new way in.
func (a *App) makes(v Viewer) error {
	return a.brakes.making.take(a.Clock(), map[string]string{ofMaker: string(v.Person.ID)})
}
