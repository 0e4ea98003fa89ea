//go:build !(darwin || freebsd || linux || windows)

package disk

import "errors"

// Free tells nothing here.
func (s *Store) Free() (int64, error) { return 0, errors.ErrUnsupported }
