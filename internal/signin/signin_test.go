package signin

import (
	"bytes"
	"crypto/rand"
	"math"
	"strings"
	"testing"
	"time"

	"trug"
)

// The check value is that of ISO/IEC 7064: with modulus 11 and radix 2 it is
// the one which ORCID documents with the identifier 0000-0002-1825-0097
// (https://support.orcid.org, "Structure of the ORCID Identifier").
func TestCheckAgainstAPublishedIdentifier(t *testing.T) {
	digits := []int{0, 0, 0, 0, 0, 0, 0, 2, 1, 8, 2, 5, 0, 0, 9}
	if got := check(digits, 11, 2); got != 7 {
		t.Errorf("check value %d, want 7", got)
	}
}

func TestCodesReadBack(t *testing.T) {
	for range 500 {
		code, err := NewFieldCode(rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		for _, typed := range []string{code, strings.ToLower(code), strings.ReplaceAll(code, "-", " "), " " + strings.ReplaceAll(code, "-", "") + "\n", strings.ReplaceAll(code, "V", "U"), strings.ReplaceAll(code, "Z", "2"), strings.ReplaceAll(code, "Q", "0")} {
			if got, err := ReadFieldCode(typed); err != nil || got != code {
				t.Fatalf("%q read as %q, %v; want %q", typed, got, err, code)
			}
		}
	}
}

// Every single wrong symbol and every exchange of two symbols is noticed.
func TestSlipsOfThePenAreNoticed(t *testing.T) {
	for range 50 {
		code, err := NewRecoveryCode(rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		plain := []byte(strings.ReplaceAll(code, "-", ""))
		for i := range plain {
			for _, other := range []byte(alphabet) {
				wrong := bytes.Clone(plain)
				wrong[i] = other
				if _, err := ReadRecoveryCode(string(wrong)); (err == nil) != (other == plain[i]) {
					t.Fatalf("%s for %s: %v", wrong, plain, err)
				}
			}
			// 2 has the order 11 modulo 23, so exchanges up to ten apart are seen.
			for j := i + 1; j < len(plain) && j-i < 11; j++ {
				wrong := bytes.Clone(plain)
				wrong[i], wrong[j] = wrong[j], wrong[i]
				if _, err := ReadRecoveryCode(string(wrong)); (err == nil) != (plain[i] == plain[j]) {
					t.Fatalf("%s for %s: %v", wrong, plain, err)
				}
			}
		}
	}
}

func TestBadCodesSayWhatIsWrong(t *testing.T) {
	for typed, says := range map[string]string{"": "has 8", "K7WM": "has 8", "A7WM-3TXR": "no 'A'", strings.Repeat("K7WM", 500): "has 8", "3333-3333": "slip of the pen"} {
		_, err := ReadFieldCode(typed)
		if trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%.20q: %v, want a sentence with %q", typed, err, says)
		}
	}
}

// Codes use every symbol about as often as the others.
func TestCodesAreEven(t *testing.T) {
	counts, n := map[rune]int{}, 0
	for range 4000 {
		code, err := NewRecoveryCode(rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range strings.ReplaceAll(code, "-", "")[:11] {
			counts[r]++
			n++
		}
	}
	want, chi := float64(n)/float64(len(alphabet)), 0.0
	for _, r := range alphabet {
		chi += math.Pow(float64(counts[r])-want, 2) / want
	}
	// 22 degrees of freedom: 60.1 is passed by chance once in 50,000 runs.
	if chi > 60.1 {
		t.Errorf("chi-squared %.1f over %v", chi, counts)
	}
}

func TestPhrases(t *testing.T) {
	if len(words()) != 1024 {
		t.Fatalf("%d words, want 1024: 60 bits in six", len(words()))
	}
	first := map[string]string{}
	for _, w := range words() {
		key := w[:4]
		if other := first[key]; other != "" {
			t.Errorf("%s and %s begin alike", w, other)
		}
		first[key] = w
	}
	for range 200 {
		phrase, err := NewPhrase(rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		var short []string
		for _, w := range strings.Fields(phrase) {
			short = append(short, strings.ToUpper(w[:4]))
		}
		for _, typed := range []string{phrase, " " + strings.ReplaceAll(phrase, " ", ", ") + ".", strings.Join(short, "-")} {
			if got, err := ReadPhrase(typed); err != nil || got != phrase {
				t.Fatalf("%q read as %q, %v; want %q", typed, got, err, phrase)
			}
		}
	}
	for typed, says := range map[string]string{"": "these are 0", "above above": "these are 2", "above above above above above xylophonist": `"xylophonist"`} {
		if _, err := ReadPhrase(typed); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want a sentence with %q", typed, err, says)
		}
	}
}

// Made by the reference program, Debian package argon2 0~20171227-0.3+deb12u1: argon2
// SALT -id -t T -k K -p P -l 32 -e.
func TestPasswordsOfTheReferenceProgram(t *testing.T) {
	for password, hash := range map[string]string{
		"Beech leaves on Tuesday": "$argon2id$v=19$m=65536,t=1,p=4$c29tZXNhbHQxNmJ5dGVzIQ$fEDfZp0u24578wwwLP9qevCln1BhdFE8OK6on/vMFlc",
		"oak moth lamp":           "$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHRzYWx0$FXqpQVuF1WzzF65sDikU6SX7MAbwfC/AsORP4PJtj0w",
	} {
		if !VerifyPassword(hash, password) {
			t.Errorf("%q is not taken", password)
		}
		if VerifyPassword(hash, password+" ") {
			t.Errorf("another password than %q is taken", password)
		}
	}
}

func TestPasswordsRoundTrip(t *testing.T) {
	hash, err := HashPassword("Fünf Ähren am Weg", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	// The same text in another form of Unicode, as another keyboard sends it.
	if !VerifyPassword(hash, "Fünf Ähren am Weg") || VerifyPassword(hash, "Funf Ahren am Weg") {
		t.Error("a password is not known again, or another is taken for it")
	}
	for _, broken := range []string{"", "$", "$argon2id$v=19$m=65536,t=1,p=4$$", "$argon2i$v=19$m=8,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA", "$argon2id$v=19$m=4294967295,t=1,p=4$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA"} {
		if VerifyPassword(broken, "") {
			t.Errorf("%q opens", broken)
		}
	}
}

func TestWhichPasswordsMayBeUsed(t *testing.T) {
	known := []string{"Vale of Wimbrel, fungi of 2026", "Vale of Wimbrel", "W26", "Rosamund Pettigrew"}
	for password, ok := range map[string]bool{
		"correct horse": true, "ein alter Pilz": true, "áéíóúñüç": true, "aB3$aB3$": true, "mossy Wimbrel heron": true,
		"short": false, "password": false, "PassWord": false, "12345678": false, "zzzzzzzzzz": false,
		"Wimbrel2026": false, "valeofwimbrel": false, "rosamundpettigrew": false, "Pettigrew1": false,
		strings.Repeat("ab ", 100): false, "abc\xffdefgh": false,
	} {
		err := CheckPassword(password, known...)
		if (err == nil) != ok || err != nil && trug.KindOf(err) != trug.Invalid {
			t.Errorf("%q: %v", password, err)
		}
	}
}

func TestWaiting(t *testing.T) {
	l := Limit{Guesses: 3, Each: time.Minute}
	now := time.Date(2026, 10, 10, 17, 0, 0, 0, time.UTC)
	var b Level
	for i := range 3 {
		if w := l.Wait(b, now); w != 0 {
			t.Fatalf("guess %d waits %v", i+1, w)
		}
		b = l.Pour(b, now)
	}
	if w := l.Wait(b, now); w != time.Minute {
		t.Errorf("the fourth waits %v, want a minute", w)
	}
	// An hour back: nothing leaks, and nobody waits longer than before.
	back := now.Add(-time.Hour)
	if w := l.Wait(b, back); w != time.Minute {
		t.Errorf("with the clock an hour back it waits %v, want a minute", w)
	}
	b = l.Back(b, back)
	if w := l.Wait(b, back); w != 0 {
		t.Errorf("after a right one it waits %v", w)
	}
	if w := l.Wait(l.Pour(b, back), back.Add(59*time.Second)); w != time.Second {
		t.Errorf("after 59 seconds it waits %v, want one", w)
	}
}

func FuzzReadCode(f *testing.F) {
	f.Add("K7WM-3TXR")
	f.Add("k7wm 3tx")
	f.Fuzz(func(t *testing.T, text string) {
		code, err := ReadFieldCode(text)
		if err != nil {
			if trug.KindOf(err) != trug.Invalid {
				t.Fatal(err)
			}
			return
		}
		if again, err := ReadFieldCode(code); err != nil || again != code {
			t.Fatalf("%q became %q, then %q, %v", text, code, again, err)
		}
	})
}

func FuzzReadPhrase(f *testing.F) {
	f.Add("above absent across actor adapt adjust")
	f.Fuzz(func(t *testing.T, text string) {
		phrase, err := ReadPhrase(text)
		if err != nil {
			return
		}
		if again, err := ReadPhrase(phrase); err != nil || again != phrase {
			t.Fatalf("%q became %q, then %q, %v", text, phrase, again, err)
		}
	})
}

func FuzzVerifyPassword(f *testing.F) {
	f.Add("$argon2id$v=19$m=8,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA")
	f.Fuzz(func(t *testing.T, hash string) {
		if len(hash) < 200 && !strings.Contains(hash, "m=1") && VerifyPassword(hash, "never so") {
			t.Fatalf("%q opens", hash)
		}
	})
}
