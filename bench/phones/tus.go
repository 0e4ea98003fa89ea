package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
)

// ask sends a request of the phone with JSON and reads the answer into out.
// Answers that trying again can change are errors, all others wrong.
func (p *phone) ask(ctx context.Context, method, path string, in, out any) error {
	var body []byte
	if in != nil {
		var err error
		if body, err = json.Marshal(in); err != nil {
			return wrong{err}
		}
	}
	_, text, err := p.request(ctx, method, path, body, map[string]string{"Content-Type": "application/json"})
	if err != nil || out == nil {
		return err
	}
	return json.Unmarshal(text, out)
}

// request sends a request and returns head and body of the answer.
func (p *phone) request(ctx context.Context, method, path string, body []byte, head map[string]string) (http.Header, []byte, error) {
	r, err := http.NewRequestWithContext(ctx, method, p.at+path, bytes.NewReader(body))
	if err != nil {
		return nil, nil, wrong{err}
	}
	for name, value := range head {
		r.Header.Set(name, value)
	}
	r.Header.Set("X-Forwarded-For", p.from)
	p.count(func(t *counts) { t.requests++ })
	answer, err := p.client.Do(r)
	if err != nil {
		return nil, nil, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return nil, nil, err
	}
	switch s := answer.StatusCode; {
	case s < 300:
		return answer.Header, text, nil
	case s >= 500, s == http.StatusTooManyRequests, s == http.StatusConflict, s == http.StatusNotFound, s == http.StatusRequestTimeout:
		return nil, nil, status{s, string(text)}
	default:
		return nil, nil, wrong{status{s, string(text)}}
	}
}

// status is an answer other than success.
type status struct {
	code int
	says string
}

func (s status) Error() string { return fmt.Sprintf("%d %s", s.code, s.says) }

func is(err error, code int) bool {
	var s status
	return errors.As(err, &s) && s.code == code
}

// hand sends photographs until each is whole at the server.
func (p *phone) hand(ctx context.Context, views []*view) error {
	for _, v := range views {
		data := v.of.bytesOf(v.seed)
		where := ""
		if err := p.until(ctx, func(ctx context.Context) error { return p.upload(ctx, data, v.hash, &where) }); err != nil {
			return err
		}
	}
	return nil
}

// tusHead is the head of a request by tus 1.0.0.
func tusHead(more ...string) map[string]string {
	head := map[string]string{"Tus-Resumable": "1.0.0"}
	for i := 0; i < len(more); i += 2 {
		head[more[i]] = more[i+1]
	}
	return head
}

func base(text string) string { return base64.StdEncoding.EncodeToString([]byte(text)) }

// upload begins a photograph or goes on with it; where is its address, once known.
func (p *phone) upload(ctx context.Context, data []byte, hash string, where *string) error {
	at := 0
	if *where == "" {
		head, _, err := p.request(ctx, "POST", "/api/field/uploads", nil, tusHead("Upload-Length", strconv.Itoa(len(data)), "Upload-Metadata", "sha256 "+base(hash)+",filename "+base("IMG.jpg")))
		if err != nil {
			return err
		}
		*where = head.Get("Location")
		at, _ = strconv.Atoi(head.Get("Upload-Offset")) // what came before, where it was begun already
	} else {
		head, _, err := p.request(ctx, "HEAD", *where, nil, tusHead())
		if is(err, http.StatusNotFound) {
			*where = ""
		}
		if err != nil {
			return err
		}
		if at, err = strconv.Atoi(head.Get("Upload-Offset")); err != nil {
			return wrong{err}
		}
		p.count(func(t *counts) { t.again++ })
	}
	for at < len(data) {
		piece := data[at:min(at+p.piece, len(data))]
		head := tusHead("Upload-Offset", strconv.Itoa(at), "Content-Type", "application/offset+octet-stream")
		if p.dice.IntN(2) == 0 {
			sum := sha256.Sum256(piece)
			head["Upload-Checksum"] = "sha256 " + base64.StdEncoding.EncodeToString(sum[:])
		}
		got, _, err := p.request(ctx, "PATCH", *where, piece, head)
		if err != nil {
			return err
		}
		if now, err := strconv.Atoi(got.Get("Upload-Offset")); err != nil || now != at+len(piece) {
			return wrong{fmt.Errorf("%d bytes after %d and a piece of %d", now, at, len(piece))}
		}
		at += len(piece)
	}
	return nil
}
