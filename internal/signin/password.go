package signin

import (
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	_ "embed"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"

	"trug"
)

// Cost of argon2id (RFC 9106): one pass over 64 MiB in four lanes, what
// golang.org/x/crypto/argon2 gives for interactive use. At most as many at a
// time may run as there is memory for: the caller sees to it.
const (
	passes  = 1
	kibs    = 64 << 10
	lanes   = 4
	keySize = 32
)

// Lengths of passwords in characters. Eight is the least and no kind of
// character is asked for: NIST SP 800-63B, section 5.1.1.2. The most keeps
// what is hashed small.
const (
	LeastPassword = 8
	MostPassword  = 200
)

//go:embed lists/common.txt
var commonText string

var common = sync.OnceValue(func() map[string]bool {
	list := map[string]bool{}
	for _, w := range strings.Fields(commonText) {
		list[strings.ToLower(w)] = true
	}
	return list
})

// HashPassword returns the password hashed with a salt read from random, in
// the form of the PHC string format: "$argon2id$v=19$m=65536,t=1,p=4$salt$hash".
func HashPassword(password string, random io.Reader) (string, error) {
	salt := make([]byte, 16)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("read random bits for a salt: %w", err)
	}
	key := argon2.IDKey([]byte(norm.NFKC.String(password)), salt, passes, kibs, lanes, keySize)
	b64 := base64.RawStdEncoding.EncodeToString
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, kibs, passes, lanes, b64(salt), b64(key)), nil
}

// VerifyPassword reports whether the password is the one hashed. A hash that
// can't be read is nobody's password.
func VerifyPassword(hash, password string) bool {
	var version int
	var m, t uint32
	var p uint8
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false
	}
	if _, err := fmt.Sscanf(parts[2], "v=%d", &version); err != nil || version != argon2.Version {
		return false
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &m, &t, &p); err != nil || t < 1 || t > 16 || m < 8 || m > 1<<20 || p < 1 {
		return false
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return false
	}
	want, err := base64.RawStdEncoding.DecodeString(parts[5])
	if err != nil || len(want) < 16 || len(want) > 64 {
		return false
	}
	got := argon2.IDKey([]byte(norm.NFKC.String(password)), salt, t, m, p, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1
}

// CheckPassword returns nil for a password that may be used, else an error of
// kind trug.Invalid with a sentence. known are words that the password of this
// person would be guessed with first: the season's title, place and code, and
// the name they sign in with.
func CheckPassword(password string, known ...string) error {
	n := utf8.RuneCountInString(password)
	switch {
	case !utf8.ValidString(password):
		return badPassword("This password holds characters that can't be kept: choose another.")
	case n < LeastPassword:
		return badPassword("A password has %d characters at least; this one has %d. Several words are easy to keep in mind.", LeastPassword, n)
	case n > MostPassword:
		return badPassword("This password has %d characters; %d are enough.", n, MostPassword)
	}
	small := strings.ToLower(norm.NFKC.String(password))
	if common()[small] {
		return badPassword("This password is one of those that are tried first: choose another.")
	}
	if same(small) {
		return badPassword("This password is one character over and over: choose another.")
	}
	for _, k := range known {
		for _, w := range append(strings.Fields(strings.ToLower(k)), squeezed(k)) {
			if len(w) >= 3 && strings.Trim(strings.ReplaceAll(squeezed(small), w, ""), "0123456789") == "" {
				return badPassword("This password is made of words of the season or of your name, which are tried first: choose another.")
			}
		}
	}
	return nil
}

func badPassword(format string, args ...any) error {
	return trug.Errorf(trug.Invalid, "password", format, args...)
}

// same reports whether text is one character over and over.
func same(text string) bool {
	first, _ := utf8.DecodeRuneInString(text)
	return strings.Trim(text, string(first)) == ""
}

// squeezed returns text in small letters, letters and figures alone.
func squeezed(text string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' && r < 'a' || r > 'z' && r < 0x80 {
			return -1
		}
		return r
	}, strings.ToLower(text))
}

// SlowKey returns under what a recovery code or phrase is kept, so that it can
// be looked up without a name: argon2id with a salt of the data folder's secret
// and purpose, in hexadecimal. All of one folder share the salt. Whoever has
// stolen database and secret must still try 2^50 codes or 2^60 phrases, each at
// the cost of a password.
func SlowKey(secret []byte, purpose, text string) string {
	mac := hmac.New(sha256.New, secret)
	mac.Write([]byte("salt\x00" + purpose))
	return hex.EncodeToString(argon2.IDKey([]byte(text), mac.Sum(nil), passes, kibs, lanes, keySize))
}
