package outline

// These walk through JSON that is known to be valid, without copying it or
// holding it in memory a second time: a file of brackets alone would otherwise
// take a hundred times its size.

func isSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\r' || c == '\t' }

func skipSpace(d []byte, i int) int {
	for i < len(d) && isSpace(d[i]) {
		i++
	}
	return i
}

// stringEnd is the index after the string that begins at i.
func stringEnd(d []byte, i int) int {
	for i++; i < len(d); i++ {
		switch d[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(d)
}

// valueEnd is the index after the value that begins at i.
func valueEnd(d []byte, i int) int {
	depth := 0
	for i < len(d) {
		switch d[i] {
		case '"':
			i = stringEnd(d, i)
		case '{', '[':
			depth++
			i++
		case '}', ']':
			depth--
			i++
		case ',', ':', ' ', '\n', '\r', '\t':
			i++
			continue
		default:
			for i < len(d) && d[i] != ',' && d[i] != ']' && d[i] != '}' && !isSpace(d[i]) {
				i++
			}
		}
		if depth == 0 {
			return i
		}
	}
	return len(d)
}

// elements visits the values of an array; ok is false if it is something else.
func elements(array []byte, visit func(value []byte) error) (ok bool, err error) {
	if len(array) == 0 || array[0] != '[' {
		return false, nil
	}
	for i := skipSpace(array, 1); i < len(array) && array[i] != ']'; {
		end := valueEnd(array, i)
		if err := visit(array[i:end]); err != nil {
			return true, err
		}
		if i = skipSpace(array, end); i < len(array) && array[i] == ',' {
			i = skipSpace(array, i+1)
		}
	}
	return true, nil
}

// fields gives the named members of an object that are not null; ok is false
// if it is something else. Of members with one name the last holds.
func fields(object []byte, names ...string) (found map[string][]byte, ok bool) {
	found = map[string][]byte{}
	if len(object) == 0 || object[0] != '{' {
		return found, false
	}
	for i := skipSpace(object, 1); i < len(object) && object[i] == '"'; {
		keyEnd := stringEnd(object, i)
		key := object[i+1 : keyEnd-1]
		i = skipSpace(object, skipSpace(object, keyEnd)+1) // behind the colon
		end := valueEnd(object, i)
		for _, name := range names {
			if string(key) != name {
				continue
			}
			if delete(found, name); string(object[i:end]) != "null" {
				found[name] = object[i:end]
			}
		}
		if i = skipSpace(object, end); i < len(object) && object[i] == ',' {
			i = skipSpace(object, i+1)
		}
	}
	return found, true
}
