package trug

// Progress is told how far a long piece of work has come: done of total
// things, and in words what is being done. A nil Progress is never called.
type Progress func(done, total int, what string)

// Tell calls p unless it is nil.
func (p Progress) Tell(done, total int, what string) {
	if p != nil {
		p(done, total, what)
	}
}
