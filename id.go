package trug

import (
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"time"
)

// ID is the internal identifier of a thing: a UUID of version 7 (RFC 9562,
// section 5.7) in lower-case canonical text, made where the thing is made, the
// phone included. It tells the time of its making, so it never leaves for
// outsiders; a PublicID does.
type ID string

// PublicID is the identifier by which outsiders know a thing, in deposits,
// public addresses and file names: a UUID of version 4 (RFC 9562, section
// 5.4), which tells nothing. It is given when the thing is first stored.
type PublicID string

// NewID returns a fresh identifier for the instant at, its random bits read
// from random.
func NewID(at time.Time, random io.Reader) (ID, error) {
	var b [16]byte
	if _, err := io.ReadFull(random, b[6:]); err != nil {
		return "", fmt.Errorf("read random bits for an identifier: %w", err)
	}
	ms := uint64(at.UnixMilli())
	for i := range 6 {
		b[i] = byte(ms >> (8 * (5 - i)))
	}
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	return ID(canonical(b)), nil
}

// NewPublicID returns a fresh public identifier, its bits read from random.
func NewPublicID(random io.Reader) (PublicID, error) {
	var b [16]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return "", fmt.Errorf("read random bits for a public identifier: %w", err)
	}
	b[6] = b[6]&0x0f | 0x40
	b[8] = b[8]&0x3f | 0x80
	return PublicID(canonical(b)), nil
}

func canonical(b [16]byte) string {
	h := hex.EncodeToString(b[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// Valid reports whether id is a canonical UUID of version 7.
func (id ID) Valid() bool { return isUUID(string(id), '7') }

// Valid reports whether id is a canonical UUID of version 4.
func (id PublicID) Valid() bool { return isUUID(string(id), '4') }

func isUUID(s string, version byte) bool {
	if len(s) != 36 || s[14] != version || !strings.ContainsRune("89ab", rune(s[19])) {
		return false
	}
	for i, c := range []byte(s) {
		if i == 8 || i == 13 || i == 18 || i == 23 {
			if c != '-' {
				return false
			}
		} else if !strings.ContainsRune("0123456789abcdef", rune(c)) {
			return false
		}
	}
	return true
}

// Hash is the SHA-256 of a file in lower-case hexadecimal: the name under
// which photographs and archives are kept.
type Hash string

// Valid reports whether h has the form of a SHA-256 in lower-case hexadecimal.
func (h Hash) Valid() bool {
	if len(h) != 64 {
		return false
	}
	_, err := hex.DecodeString(string(h))
	return err == nil && strings.ToLower(string(h)) == string(h)
}
