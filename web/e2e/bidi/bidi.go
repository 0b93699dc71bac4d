// Package bidi speaks WebDriver BiDi (W3C, https://www.w3.org/TR/webdriver-bidi/) with a browser, as far as the tests
// need it: commands with their answers, and events. Browsers that speak it need no driver in between.
package bidi

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"golang.org/x/net/websocket"
)

// Conn is a session with a browser. Its commands may be called from several goroutines at once.
type Conn struct {
	ws     *websocket.Conn
	events func(method string, params json.RawMessage)

	mu      sync.Mutex
	last    int // number of the last command
	waiting map[int]chan message
	ended   error
}

// message is a command's answer, or an event.
type message struct {
	Type    string          `json:"type"` // "success", "error" or "event"
	ID      *int            `json:"id"`
	Method  string          `json:"method"`
	Params  json.RawMessage `json:"params"`
	Result  json.RawMessage `json:"result"`
	Error   string          `json:"error"`
	Message string          `json:"message"`
}

// Dial opens a session at a browser's address, "ws://127.0.0.1:PORT". events is called, one at a time, with every
// event that the session subscribes to; it must not call commands.
func Dial(ctx context.Context, address, origin string, events func(method string, params json.RawMessage)) (*Conn, error) {
	config, err := websocket.NewConfig(address+"/session", origin)
	if err != nil {
		return nil, err
	}
	ws, err := config.DialContext(ctx)
	if err != nil {
		return nil, err
	}
	ws.MaxPayloadBytes = 256 << 20 // pictures of long pages
	c := &Conn{ws: ws, events: events, waiting: map[int]chan message{}}
	go c.listen()
	if err := c.Call(ctx, "session.new", map[string]any{"capabilities": map[string]any{}}, nil); err != nil {
		c.Close()
		return nil, err
	}
	return c, nil
}

// Close ends the connection. The browser ends the session with it.
func (c *Conn) Close() { _ = c.ws.Close() }

// Call sends a command and reads its result, if result is not nil. It fails with what the browser says.
func (c *Conn) Call(ctx context.Context, method string, params, result any) error {
	c.mu.Lock()
	if c.ended != nil {
		c.mu.Unlock()
		return c.ended
	}
	c.last++
	id, answer := c.last, make(chan message, 1)
	c.waiting[id] = answer
	c.mu.Unlock()
	defer func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		delete(c.waiting, id)
	}()
	if err := websocket.JSON.Send(c.ws, map[string]any{"id": id, "method": method, "params": params}); err != nil {
		return fmt.Errorf("%s: %w", method, err)
	}
	select {
	case <-ctx.Done():
		return fmt.Errorf("%s: %w", method, ctx.Err())
	case m := <-answer:
		if m.Type != "success" {
			return fmt.Errorf("%s: %s: %s", method, m.Error, m.Message)
		}
		if result == nil {
			return nil
		}
		return json.Unmarshal(m.Result, result)
	}
}

func (c *Conn) listen() {
	for {
		var m message
		if err := websocket.JSON.Receive(c.ws, &m); err != nil {
			c.end(err)
			return
		}
		if m.Type == "event" {
			c.events(m.Method, m.Params)
			continue
		}
		c.answer(m)
	}
}

func (c *Conn) answer(m message) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if m.ID == nil {
		return // an error that belongs to no command
	}
	if waiting := c.waiting[*m.ID]; waiting != nil {
		waiting <- m
	}
}

// end answers whatever still waits.
func (c *Conn) end(err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.ended = fmt.Errorf("the browser has gone: %w", err)
	for _, waiting := range c.waiting {
		select {
		case waiting <- message{Type: "error", Error: "the browser has gone", Message: err.Error()}:
		default: // it has its answer already
		}
	}
}
