package signin

import (
	"fmt"
	"io"
	"strings"

	"trug"
	"trug/science/said"
)

// alphabet holds the symbols of codes: no vowels, so that no word is spelled,
// and of symbols that look alike (0 O D, 1 I L, 2 Z, 5 S, 8 B, U V) at most one.
// There are 23 of them, a prime number, which the check symbol rests on.
const alphabet = "34679CDFGHJKMNPQRTVWXYZ"

// Lengths of codes with their check symbol, and bits of chance in each:
// 7 and 11 symbols of log2(23) = 4.52 bits.
const (
	fieldCodeLength    = 8  // 31.7 bits
	recoveryCodeLength = 12 // 49.8 bits
)

// typed are symbols that people type for those they read.
var typed = map[rune]rune{'2': 'Z', 'U': 'V', 'O': 'Q', '0': 'Q'}

// check returns the check value of values by the pure systems of ISO/IEC
// 7064:2003: with the value after them, the polynomial in radix is 1 modulo
// the modulus. With a prime modulus every single wrong symbol changes it, and
// every exchange of two symbols less than the order of radix apart.
func check(values []int, modulus, radix int) int {
	p := 0
	for _, v := range values {
		p = (p + v) * radix % modulus
	}
	return (modulus + 1 - p) % modulus
}

// newCode returns length symbols in groups of four, the last the check symbol.
func newCode(random io.Reader, length int) (string, error) {
	values := make([]int, 0, length)
	for len(values) < length-1 {
		var b [1]byte
		if _, err := io.ReadFull(random, b[:]); err != nil {
			return "", fmt.Errorf("read random bits for a code: %w", err)
		}
		// 253 = 11 × 23: what lies above would make some symbols likelier.
		if b[0] < 253 {
			values = append(values, int(b[0])%len(alphabet))
		}
	}
	values = append(values, check(values, len(alphabet), 2))
	var code strings.Builder
	for i, v := range values {
		if i > 0 && i%4 == 0 {
			code.WriteByte('-')
		}
		code.WriteByte(alphabet[v])
	}
	return code.String(), nil
}

// readCode returns a code as newCode writes it, or an error of kind
// trug.Invalid that says what cannot be right about it.
func readCode(text string, what said.Sentence, length int) (string, error) {
	var values []int
	for _, r := range strings.ToUpper(text) {
		if strings.ContainsRune(" -–—.\t\n", r) {
			continue
		}
		if other, ok := typed[r]; ok {
			r = other
		}
		i := strings.IndexRune(alphabet, r)
		if i < 0 {
			return "", trug.Errorf(trug.Invalid, "code", "A %s has no %q in it: look at the sign again. It is made of %s.", what, r, alphabet)
		}
		if values = append(values, i); len(values) > length {
			break
		}
	}
	if len(values) != length {
		return "", trug.Errorf(trug.Invalid, "code", "A %s has %d letters and figures: look whether all of it stands here.", what, length)
	}
	if check(values[:length-1], len(alphabet), 2) != values[length-1] {
		return "", trug.Errorf(trug.Invalid, "code", "There is a slip of the pen in this %s: compare it letter by letter.", what)
	}
	var code strings.Builder
	for i, v := range values {
		if i > 0 && i%4 == 0 {
			code.WriteByte('-')
		}
		code.WriteByte(alphabet[v])
	}
	return code.String(), nil
}

// NewFieldCode returns a field code such as "K7WM-3TXR", its bits read from random.
func NewFieldCode(random io.Reader) (string, error) { return newCode(random, fieldCodeLength) }

// ReadFieldCode returns a field code as it was typed or heard in its one
// written form, or an error of kind trug.Invalid.
func ReadFieldCode(text string) (string, error) {
	return readCode(text, said.As("field code"), fieldCodeLength)
}

// NewRecoveryCode returns a one-time code such as "K7WM-3TXR-9QFC".
func NewRecoveryCode(random io.Reader) (string, error) { return newCode(random, recoveryCodeLength) }

// ReadRecoveryCode returns a recovery code in its one written form, or an
// error of kind trug.Invalid.
func ReadRecoveryCode(text string) (string, error) {
	return readCode(text, said.As("recovery code"), recoveryCodeLength)
}
