//go:build !js

package photo

import (
	"bytes"
	"image"

	"github.com/gen2brain/heic"
)

// decodeHEIC decodes the primary picture, turned as its container says.
func decodeHEIC(data []byte) (image.Image, error) {
	return heic.Decode(bytes.NewReader(data))
}
