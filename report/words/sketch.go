package words

import "neckfit/fit"

// The sketches show where things are, none to scale. A line has at most Narrowest columns less the indent of
// what stands below a word.
const (
	planSketch = `
 station ------------------------------------------> tail
      nut      fret 12    mouth     end   bridge
 o     +----------+---------+========+     o....  bass
 f     |          |         |        |     o....
 f - - | - - - - -|- - - - -| - heel | - - x - -  centre
 s     |          |         |        |     o....  line
 e     +----------+---------+========+     o....  treble
 t                          : pocket :
`
	pocketSketch = `
   mouth                     end
 ----+------------------------+    bass wall
     |   gap                  |
 ----+----------------------+ |
       heel                 | |<-- end gap
 ----+----------------------+ |
     |   gap                  |<-- corner: a radius
 ----+------------------------+    treble wall
`
	saddleSketch = `
 headstock           tail
    |<---- travel ---->|
    +--------o---------+     o  where the string wants
  front             back        its saddle
    |<------>|                  reserve-front
             |<------->|        reserve-back
 nut ------->|                  scale + compensation
`
	heightSketch = `
      fret 12: action
 nut_____________|________________________o  saddle
  |==========================  <- fret plane
  |   neck          |  heel  |
  +-----------------+~~~~~~~~|---------------- body's top:
                    | floor  |                 height 0
                    +--------+  pocket depth
`
)

// sketches are of characteristics by their names, and of terms.
var sketches = func() map[string]string {
	of := map[string]string{}
	for sketch, ids := range map[string][]fit.ID{
		planSketch: {fit.CentreLineError, fit.BridgeSkew, fit.HeelSkew, fit.HeelOffset, fit.BridgeOffPocket, fit.BridgeOffTurn, fit.PocketOffCentre, fit.BridgeOffCentre,
			fit.MarginBass, fit.MarginTreble, fit.MarginBalance, fit.ScaleLength},
		pocketSketch: {fit.PocketGapMouth, fit.PocketGapEnd, fit.EndGap, fit.HeelEndSquareness, fit.PocketEndSquareness, fit.CornerReserve},
		saddleSketch: {fit.SaddleReserveFront, fit.SaddleReserveBack, fit.IntonationError},
		heightSketch: {fit.FretPlaneHeight, fit.SaddleHeightReserveLow, fit.SaddleHeightReserveHigh, fit.Pitch},
	} {
		for _, id := range ids {
			of[id.String()] = sketch
		}
	}
	for sketch, terms := range map[string][]string{
		planSketch:   {"station", "offset", "centre-line", "scale", "heel"},
		pocketSketch: {"play", "swing", "seat", "mouth", "end"},
		saddleSketch: {"compensation"},
		heightSketch: {"height", "action"},
	} {
		for _, term := range terms {
			of[term] = sketch
		}
	}
	return of
}()
