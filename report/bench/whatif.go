package bench

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/html"
	"neckfit/report/words"
)

// Moves are what somebody tries on a kit. Numbers of two are at the pocket's mouth and at its end.
type Moves struct {
	Bass, Treble        [2]float64 // mm of shim beside that wall; below nought the wall is scraped back
	Set                 bool       // the heel is set anew
	Seat                [2]float64 // where, from -1, hard at the bass wall, to 1, hard at the treble wall
	Across, Along, Turn float64    // of the bridge: mm toward treble, mm tailward, degrees with the tail toward treble
	Plug                bool       // its holes are plugged and drilled anew; otherwise it moves in its screws' clearance
}

// How far a move may go, in mm and degrees: beyond what anybody would do to an instrument.
const (
	mostWall, mostAlong, mostTurn = 5, 30, 10
)

// actions are the works that make the moves; where the heel is to be set is still to come.
func (m Moves) actions() (list []remedy.Action) {
	for i, wall := range [2][2]float64{m.Bass, m.Treble} {
		side := [2]remedy.Wall{remedy.Bass, remedy.Treble}[i]
		for _, a := range []remedy.Action{
			{Work: measure.RelieveWall, Wall: side, Mouth: max(0, -wall[0]), End: max(0, -wall[1])},
			{Work: measure.SideShim, Wall: side, Mouth: max(0, wall[0]), End: max(0, wall[1])},
		} {
			if a.Mouth > 0 || a.End > 0 {
				list = append(list, a)
			}
		}
	}
	if a := (remedy.Action{Work: measure.BridgeMove, Across: m.Across, Along: m.Along, Turn: m.Turn}); m.Across != 0 || m.Along != 0 || m.Turn != 0 {
		if m.Plug {
			a.Work = measure.PlugBridge
		}
		list = append(list, a)
	}
	return list
}

// bounded complains of moves that nobody means.
func (m Moves) bounded() error {
	for _, b := range []struct {
		what    string
		most    float64
		numbers []float64
	}{
		{"shim", mostWall, slices.Concat(m.Bass[:], m.Treble[:])}, {"seat", 1, m.Seat[:]},
		{"bridge", mostAlong, []float64{m.Across, m.Along}}, {"turn", mostTurn, []float64{m.Turn}},
	} {
		for _, x := range b.numbers {
			if x < -b.most || x > b.most {
				return &Refusal{What: fmt.Sprintf("%s: %v", b.what, x), Expected: fmt.Sprintf("a number from %v to %v", -b.most, b.most)}
			}
		}
	}
	return nil
}

// modelled is a kit with what plans are made from, kept from one question to the next.
type modelled struct {
	key    string
	result *fit.Result // nil where nothing whole was read
	shelf  remedy.Options
	advice *remedy.Advice // nil until it is asked for
	sheet  *sheetOf
	row    int    // the reading that would tell most, of those that are still to be taken
	tells  string // what it is; "" for none
}

// model judges a kit so that plans can be made for it. The caller holds f.planning, and until it lets go
// nobody else uses the result.
func (f *Folder) model(name string) (*modelled, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.refresh(); err != nil {
		return nil, err
	}
	rows := f.rowsOf()[name]
	whole, _ := f.whole(rows)
	m := &modelled{key: f.side + f.key(name, rows)}
	if f.planned != nil && f.planned.key == m.key {
		return f.planned, nil
	}
	f.planned = m
	m.sheet = f.sheetOf(rows)
	if len(whole) == 0 {
		return m, nil
	}
	_ = f.readRows(whole, func(b *measure.Batch) func(*measure.Kit) { // what is wrong with the rows is told where they are judged
		options := f.options(b)
		options.Model = true
		m.shelf = remedy.Options{Stock: b.Stock, Costs: b.Costs}
		return func(one *measure.Kit) { m.result = fit.Check(one, options) }
	})
	return m, nil
}

// Plans says which reading of a kit would tell most, of those that are still to be taken, with its row, and
// lays out what is advised for it, with the best plan of each kind beside the others; "" for nothing. Entries
// need not wait for it.
func (f *Folder) Plans(name string) (row int, tells string, laid template.HTML, err error) {
	f.planning.Lock()
	defer f.planning.Unlock()
	m, err := f.model(name)
	if err != nil {
		return 0, "", "", err
	}
	if m.sheet != nil {
		m.row, m.tells = m.sheet.tellsMost()
		m.sheet = nil
	}
	if m.result != nil && m.advice == nil {
		m.advice = remedy.For(m.result, m.shelf)
	}
	if m.result != nil {
		laid, err = html.Advice(m.result, m.advice)
	}
	return m.row, m.tells, laid, err
}

// WhatIf works out what a kit would be after somebody's own moves, as neckfit remedy --try does.
func (f *Folder) WhatIf(name string, moves Moves) (template.HTML, error) {
	if err := moves.bounded(); err != nil {
		return "", err
	}
	f.planning.Lock()
	defer f.planning.Unlock()
	m, err := f.model(name)
	if err != nil {
		return "", err
	}
	if m.result == nil || m.result.Model == nil {
		return "", &Refusal{What: words.NothingToTry}
	}
	actions := moves.actions()
	plan, untried := remedy.Try(m.result, actions, m.shelf)
	if plan != nil && moves.Set {
		seat := remedy.Action{Work: measure.Reseat}
		if a := plan.After; a != nil { // a shim leaves another play than there is
			seat.Mouth, seat.End = moves.Seat[0]*max(0, a.Bass[0]+a.Treble[0])/2, moves.Seat[1]*max(0, a.Bass[1]+a.Treble[1])/2
		}
		plan, untried = remedy.Try(m.result, append(actions, seat), m.shelf)
	}
	if plan == nil {
		return "", &Refusal{What: words.TriedInVain(strings.Join(words.Untried(&remedy.Advice{Untried: untried}), "; "))}
	}
	return html.WhatIf(m.result, plan)
}
