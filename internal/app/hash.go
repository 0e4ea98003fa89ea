package app

import (
	"crypto/sha256"
	"encoding/hex"

	"trug"
)

// hashOf returns the SHA-256 of data as photographs are named by it.
func hashOf(data []byte) trug.Hash {
	sum := sha256.Sum256(data)
	return trug.Hash(hex.EncodeToString(sum[:]))
}
