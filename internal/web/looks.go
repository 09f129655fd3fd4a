package web

import "basswright/internal/study"

// A candidate’s colour and dash go by its place in the file. On the page it keeps
// them where others are removed or moved, so a figure that is asked for from there
// comes with the looks that the page shows.

// Looks are those of all candidates in the order of the file, from 0.
type Looks struct {
	Looks []int `query:"looks" maxItems:"64" doc:"which colour and dash each candidate has, from 0, in the order of the file; its place if left out"`
}

const mostLooks = 1000 // many times what there is to tell apart

// on gives them to the candidates, if they are of these: the file may have changed
// since the page saw it, and then places are right again.
func (l Looks) on(st *study.Study) {
	if len(l.Looks) != len(st.Candidates) {
		return
	}
	for i, k := range l.Looks {
		look(&st.Candidates[i], k)
	}
}

// look gives a candidate the colour and dash of a place, from 0. A study counts them
// from 1, as 0 is there its own place; outside of it, nothing does.
func look(c *study.Candidate, k int) {
	if k >= 0 && k < mostLooks {
		c.Look = k + 1
	}
}
