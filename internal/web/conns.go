package web

import (
	"net"
	"net/http"
	"sync"
)

// conns bounds the connections to a server. Beyond, one that nothing is asked on
// makes room, the one that has been so for longest; where there is none, the new
// one is closed.
type conns struct {
	mu   sync.Mutex
	last int
	all  map[net.Conn]int // 0 where something is asked; else the order of becoming idle
}

func newConns() *conns { return &conns{all: map[net.Conn]int{}} }

// changed is the server's hook.
func (c *conns) changed(conn net.Conn, state http.ConnState) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch state {
	case http.StateNew, http.StateIdle:
		c.last++
		c.all[conn] = c.last
	case http.StateActive:
		c.all[conn] = 0
	default:
		delete(c.all, conn)
	}
	if len(c.all) <= mostConns {
		return
	}
	var close net.Conn
	for other, since := range c.all {
		if since > 0 && (close == nil || since < c.all[close]) {
			close = other
		}
	}
	if close != nil { // the new one is idle yet, so there is one
		delete(c.all, close)
		_ = close.Close()
	}
}
