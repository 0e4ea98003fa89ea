//go:build js

package photo

import "image"

// decodeHEIC is left out in the browser, where a decoder within WebAssembly
// within WebAssembly would be far too slow and add a third to the program.
func decodeHEIC([]byte) (image.Image, error) {
	return nil, say(ErrUnsupported, "HEIC cannot be opened on this device: set the camera to JPEG (\"most compatible\"), or send the file as it is")
}
