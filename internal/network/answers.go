package network

// answers are what a solver has found, by frequency.
type answers struct {
	most  int
	at    map[float64]int // w to the answer's number
	ws    []float64       // by number
	pages [][]complex128  // of answersPage answers each
	next  int             // who asks again asks in the same order: this one is looked at first
}

const answersPage = 256

// Remember makes the solver keep up to so many answers, so that whoever asks for
// the same frequencies again, for another drive of the same network, gets them at
// the price of a look. An answer takes 16 bytes an unknown. Its trio remembers with it.
func (s *Solver) Remember(most int) {
	if s.known == nil {
		s.known = &answers{at: map[float64]int{}}
	}
	s.known.most = most
	for _, b := range s.beside {
		if b != nil {
			b.known = s.known
		}
	}
}

// Twin is another solver of the same network that stands elsewhere and shares what
// is remembered. The two are for one goroutine.
func (s *Solver) Twin() *Solver {
	t := s.p.NewSolver()
	t.known = s.known
	return t
}

// recall takes the answer at a frequency from memory, or finds and keeps it. Failures
// are not kept.
func (s *Solver) recall(w float64) error {
	k, n := s.known, s.p.sys.n
	i, ok := k.next, k.next < len(k.ws) && k.ws[k.next] == w
	if !ok {
		i, ok = k.at[w]
	}
	if ok {
		k.next = i + 1
		page := k.pages[i/answersPage]
		i = i % answersPage * n
		s.w, s.x = w, page[i:i+n:i+n]
		return nil
	}
	if err := s.solve(w); err != nil || len(k.at) >= k.most {
		return err
	}
	i = len(k.at)
	if i/answersPage == len(k.pages) {
		k.pages = append(k.pages, make([]complex128, answersPage*n))
	}
	page := k.pages[i/answersPage]
	for u := range n {
		page[i%answersPage*n+u] = s.unknown(u)
	}
	k.at[w], k.ws, k.next = i, append(k.ws, w), i+1
	return nil
}
