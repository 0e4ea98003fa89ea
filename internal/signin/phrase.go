package signin

import (
	_ "embed"
	"fmt"
	"io"
	"strings"
	"sync"

	"trug"
)

//go:embed lists/words.txt
var wordsText string

// words are the 1,024 words of recovery phrases: ten bits each.
var words = sync.OnceValue(func() []string { return strings.Fields(wordsText) })

// phraseWords is how many words a recovery phrase has: 60 bits.
const phraseWords = 6

// NewPhrase returns a recovery phrase of six words, 60 bits read from random.
func NewPhrase(random io.Reader) (string, error) {
	var b [2 * phraseWords]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return "", fmt.Errorf("read random bits for a recovery phrase: %w", err)
	}
	phrase := make([]string, phraseWords)
	for i := range phrase {
		// 1,024 divides 65,536, so every word is as likely as the others.
		phrase[i] = words()[(int(b[2*i])<<8|int(b[2*i+1]))%len(words())]
	}
	return strings.Join(phrase, " "), nil
}

// ReadPhrase returns a recovery phrase in its one written form: six words of
// the list, of each of which the first four letters are enough. The error is
// of kind trug.Invalid and names the word that is none.
func ReadPhrase(text string) (string, error) {
	given := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' || r > 'z' })
	if len(given) != phraseWords {
		return "", trug.Errorf(trug.Invalid, "phrase", "A recovery phrase has %d words; these are %d.", phraseWords, len(given))
	}
	for i, g := range given {
		word, ok := wordOf(g)
		if !ok {
			return "", trug.Errorf(trug.Invalid, "phrase", "Word %d, %q, is none of the words that phrases are made of: look how it is spelled.", i+1, shortened(g))
		}
		given[i] = word
	}
	return strings.Join(given, " "), nil
}

// wordOf returns the word of the list that begins with g, where g is the whole
// word or at least its first four letters.
func wordOf(g string) (string, bool) {
	for _, w := range words() {
		if g == w || len(g) >= 4 && strings.HasPrefix(w, g) {
			return w, true
		}
	}
	return "", false
}

// shortened keeps what people typed short enough to be said back.
func shortened(text string) string {
	if r := []rune(text); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return text
}
