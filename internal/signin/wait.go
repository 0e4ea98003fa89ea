package signin

import (
	"math"
	"time"
)

// Level is how full a bucket of wrong guesses is, and when it was looked at.
// Each guess pours one in, and the bucket leaks.
type Level struct {
	Fill float64   `json:"fill"`
	At   time.Time `json:"at"`
}

// Limit is the size of a bucket, in guesses, and how long one takes to leak out.
type Limit struct {
	Guesses int
	Each    time.Duration
}

// leaked returns the level as it stands at now. A clock that was set back lets
// nothing leak and fills nothing.
func (l Limit) leaked(b Level, now time.Time) Level {
	if gone := now.Sub(b.At); gone > 0 {
		b.Fill = math.Max(0, b.Fill-float64(gone)/float64(l.Each))
	}
	b.At = now
	return b
}

// Wait returns how long somebody has to wait before the next guess; 0 when
// they may guess now.
func (l Limit) Wait(b Level, now time.Time) time.Duration {
	over := l.leaked(b, now).Fill - float64(l.Guesses-1)
	if over <= 0 {
		return 0
	}
	return time.Duration(math.Ceil(over * float64(l.Each)))
}

// Pour returns the level after a guess at now.
func (l Limit) Pour(b Level, now time.Time) Level {
	b = l.leaked(b, now)
	b.Fill++
	return b
}

// Back returns the level after a guess turned out to be right.
func (l Limit) Back(b Level, now time.Time) Level {
	b = l.leaked(b, now)
	b.Fill = math.Max(0, b.Fill-1)
	return b
}
