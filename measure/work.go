package measure

// Work is a kind of job that a remedy is made of, least drastic first.
type Work uint8

// The works. The zero Work is none.
const (
	NoWork      Work = iota
	Leave            // nothing is done
	Reseat           // the heel set anew within the pocket's play and screwed down there
	SideShim         // beside the heel, on one wall of the pocket
	PitchShim        // a wedge under the heel
	RiseShim         // a flat shim under all of the heel
	BridgeMove       // the bridge shifted within the clearance of its screws
	ReamScrews       // the body's neck-screw holes opened
	EaseCorner       // the heel's end corners rounded
	RelieveWall      // a wall of the pocket scraped back
	LevelFloor       // the pocket's floor scraped flat
	PlugNeck         // the heel's screw holes plugged and drilled anew
	PlugStrings      // the string holes plugged and drilled anew
	PlugBridge       // the bridge's screw and string holes plugged and drilled anew
	SendBack         // a part returned
)

var workNames = []string{
	"", "leave", "re-seat", "side-shim", "pitch-shim", "rise-shim", "bridge-move", "ream-screws", "ease-corner", "relieve-wall", "level-floor",
	"plug-neck", "plug-strings", "plug-bridge", "send-back",
}

// String gives the word as the tables write it, and "" for none.
func (w Work) String() string { return nameOf(workNames, int(w)) }

// Works lists every work.
func Works() []Work { return listOf[Work](workNames) }
