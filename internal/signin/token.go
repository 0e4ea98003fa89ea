package signin

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
)

// NewToken returns 256 bits read from random as text that fits into a cookie
// or an address: what a session or an invitation is held by.
func NewToken(random io.Reader) (string, error) {
	var b [32]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return "", fmt.Errorf("read random bits for a token: %w", err)
	}
	return base64.RawURLEncoding.EncodeToString(b[:]), nil
}

// HashToken returns under what a token is kept: its SHA-256 in hexadecimal. A
// token has so many bits that nobody finds it by trying, so one round is enough.
func HashToken(token string) string {
	h := sha256.Sum256([]byte(token))
	return hex.EncodeToString(h[:])
}

// Mark returns a short mark for something that is not to be kept itself, such
// as a network address: four symbols, alike for the same text under the same
// secret. 18 bits tell callers apart on a page and lead nobody back.
func Mark(secret []byte, text string) string {
	mac := hmac.New(sha256.New, secret)
	mac.Write([]byte("mark\x00" + text))
	sum := mac.Sum(nil)
	var mark [4]byte
	for i := range mark {
		mark[i] = alphabet[int(sum[i])%len(alphabet)]
	}
	return string(mark[:])
}
