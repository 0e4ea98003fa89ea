package offline

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"trug"
)

// Records leave a phone as a file where there is never a network: a zip
// (ISO/IEC 21320-1) that holds recordsName, the messages, and beside it each
// photograph under photographsDir by the SHA-256 of its bytes. Nothing of it is
// ever unpacked to a disk, so its names lead nowhere.
const (
	recordsName    = "records.json"
	photographsDir = "photographs/"
	// FileFormat is what the file says of itself.
	FileFormat = "trug records 1"
)

// Limits of a file, our own judgement: a phone's worth of a season, and no more
// memory than one photograph at a time.
const (
	mostFileEntries = 5000
	mostRecordBytes = 16 << 20
	mostFileRecords = 1000
)

// File is what a phone wrote of records that it could not send.
type File struct {
	// Season is the code of the season that they belong to, Recorder the name
	// of whoever made them, as the phone knew it.
	Season   string
	Recorder string
	Messages []Message

	photographs map[trug.Hash]*zip.File
}

// fileHead is recordsName as it is written.
type fileHead struct {
	Format   string    `json:"format"`
	Season   string    `json:"season"`
	Recorder string    `json:"recorder"`
	Messages []Message `json:"messages"`
}

func badFile(format string, args ...any) error {
	return trug.Errorf(trug.Invalid, "", format, args...)
}

// ReadFile reads the records of a file of size bytes; photographs are read one
// by one, by Photograph. Errors are of kind Invalid and say what is wrong.
func ReadFile(r io.ReaderAt, size int64) (File, error) {
	z, err := zip.NewReader(r, size)
	if errors.Is(err, zip.ErrInsecurePath) {
		return File{}, badFile("something in this file would lie outside of it: it was not written by a phone of ours")
	}
	if err != nil {
		return File{}, badFile("this is no zip, or it did not arrive whole: write it on the phone once more")
	}
	if len(z.File) > mostFileEntries {
		return File{}, badFile("the file holds more than %d things: write it in parts", mostFileEntries)
	}
	f := File{photographs: map[trug.Hash]*zip.File{}}
	var head *zip.File
	for _, e := range z.File {
		switch hash, ok := photographName(e.Name); {
		case e.Name == recordsName && head == nil:
			head = e
		case ok && f.photographs[hash] == nil:
			f.photographs[hash] = e
		default:
			return File{}, badFile("the file holds %.80q, which a phone of ours does not write", e.Name)
		}
	}
	if head == nil {
		return File{}, badFile("this zip holds no records of a phone; a zip of photographs is unpacked into a folder first")
	}
	data, err := unpack(head, mostRecordBytes)
	if err != nil {
		return File{}, err
	}
	return f, f.readHead(data)
}

func (f *File) readHead(data []byte) error {
	var head fileHead
	read := json.NewDecoder(bytes.NewReader(data))
	if err := read.Decode(&head); err != nil {
		return badFile("%s in the file can't be read: write it on the phone once more", recordsName)
	}
	switch {
	case head.Format != FileFormat:
		return badFile("the file says that it is %.60q, and this program reads %q: use the version of the program that the phone's app belongs to", head.Format, FileFormat)
	case len(head.Messages) > mostFileRecords:
		return badFile("the file holds more than %d records: write it in parts", mostFileRecords)
	}
	f.Season, f.Recorder, f.Messages = head.Season, head.Recorder, head.Messages
	return nil
}

// photographName tells the hash by which a photograph is named.
func photographName(name string) (trug.Hash, bool) {
	base, ok := strings.CutPrefix(name, photographsDir)
	if !ok || strings.ContainsAny(base, `/\`) {
		return "", false
	}
	hash := trug.Hash(strings.TrimSuffix(base, path.Ext(base)))
	return hash, hash.Valid()
}

// unpack reads an entry up to a size, whatever it says of itself.
func unpack(e *zip.File, most int64) ([]byte, error) {
	r, err := e.Open()
	if err != nil {
		return nil, badFile("%.90q in the file can't be unpacked: write it on the phone once more", e.Name)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return nil, badFile("%.90q in the file is damaged: write it on the phone once more", e.Name)
	}
	if int64(len(data)) > most {
		return nil, trug.Errorf(trug.TooLarge, "", "%.90q in the file is over %d MB", e.Name, most>>20)
	}
	return data, nil
}

// Photograph returns the bytes of a photograph of at most so many bytes; they
// are those that the hash tells. It is of kind NotFound where it is not in the file.
func (f File) Photograph(hash trug.Hash, most int64) ([]byte, error) {
	e := f.photographs[hash]
	if e == nil {
		return nil, trug.Errorf(trug.NotFound, "", "a photograph of this record is not in the file")
	}
	data, err := unpack(e, most)
	if err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(data); trug.Hash(hex.EncodeToString(sum[:])) != hash {
		return nil, badFile("a photograph in the file is not the one that it says: write it on the phone once more")
	}
	return data, nil
}

// WriteFile writes records and photographs as a phone does, photographs by
// their bytes; extension is theirs, without the dot.
func WriteFile(w io.Writer, f File, photographs [][]byte, extension string) error {
	z := zip.NewWriter(w)
	add := func(name string, data []byte) error {
		e, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err == nil {
			_, err = e.Write(data)
		}
		return err
	}
	head, err := json.Marshal(fileHead{FileFormat, f.Season, f.Recorder, f.Messages})
	if err != nil {
		return err
	}
	if err := add(recordsName, head); err != nil {
		return err
	}
	for _, data := range photographs {
		sum := sha256.Sum256(data)
		if err := add(fmt.Sprintf("%s%x.%s", photographsDir, sum, extension), data); err != nil {
			return err
		}
	}
	return z.Close()
}
