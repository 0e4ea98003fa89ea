//go:build js

package photo

import "image"

// decodeHEIC is left out in the browser, where a decoder within WebAssembly
// within WebAssembly would be far too slow and add 3.8 MB (1.1 packed).
func decodeHEIC([]byte) (image.Image, error) {
	return nil, say(ErrUnsupported, "HEIC cannot be opened on this device: set the camera to JPEG (\"most compatible\"), or send the file as it is")
}
