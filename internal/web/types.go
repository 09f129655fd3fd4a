package web

import (
	"time"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/note"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// The wire. Everything that a person reads comes as text in the study’s units;
// what a curve is drawn from comes as numbers in the units that are named beside
// it. A number that does not exist is null.

// Num is a number that may not exist: null then.
type Num = *float64

// Shelf lists the studies of the folder.
type Shelf struct {
	Folder   string        `json:"folder" doc:"the folder’s name"`
	Studies  []ShelfEntry  `json:"studies" nullable:"false"`
	LeftOut  []LeftOutFile `json:"left_out" nullable:"false" doc:"files that look like studies and cannot be opened"`
	Gone     []GoneEntry   `json:"gone" nullable:"false" doc:"studies whose files are gone and whose history is kept"`
	More     int           `json:"more" doc:"how many further studies are not listed"`
	Examples []Example     `json:"examples" nullable:"false"`
	Version  string        `json:"version" doc:"of the program"`
}

// ShelfEntry is one study.
type ShelfEntry struct {
	Name       string    `json:"name"`
	File       string    `json:"file"`
	Title      string    `json:"title" doc:"the study’s own name; empty if the file cannot be read"`
	Note       string    `json:"note"`
	Modified   time.Time `json:"modified"`
	Candidates []string  `json:"candidates" nullable:"false"`
	Drivers    []string  `json:"drivers" nullable:"false"`
	Faults     int       `json:"faults"`
}

// LeftOutFile is a file that cannot be opened.
type LeftOutFile struct {
	File   string `json:"file"`
	Reason string `json:"reason"`
}

// Example is a study to begin from.
type Example struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Note  string `json:"note"`
}

// View is all that the page shows of a study.
type View struct {
	Name     string    `json:"name"`
	File     string    `json:"file"`
	Revision string    `json:"revision" doc:"identifies the text"`
	Saved    time.Time `json:"saved"`
	Undo     string    `json:"undo" doc:"what an undo takes back; empty if there is nothing"`
	Redo     string    `json:"redo"`
	History  string    `json:"no_history" doc:"why no history is kept; empty if it is"`
	Text     string    `json:"text"`
	Fields   []Field   `json:"fields" nullable:"false"`
	Faults   []Finding `json:"faults" nullable:"false" doc:"if there are any, there is no result"`
	Result   *Result   `json:"result,omitempty"`
	Drivers  []Driver  `json:"drivers" nullable:"false" doc:"where there is no result: the woofers whose sheets are sound all the same"`
	Space    string    `json:"space" doc:"SVG of the space, to scale; empty where neither a space nor a woofer is known"`
	Begin    *Variant  `json:"begin,omitempty" doc:"where no candidate is there yet: one to begin with"`
}

// Field is a place of the study file where a value stands or may stand.
type Field struct {
	Path     string   `json:"path" doc:"candidates.one.enclosure.volume; items of lists candidates.one.group.polarity[0]"`
	Key      string   `json:"key"`
	Sort     string   `json:"sort" enum:"quantity,text,choice,count,driver,object,list,register,rating,either,unknown"`
	Sorts    []string `json:"sorts" nullable:"false" doc:"where several may stand, all of them"`
	Present  bool     `json:"present"`
	Text     string   `json:"text" doc:"as written, without quotes"`
	Number   Num      `json:"number" doc:"of a quantity or a count, in unit"`
	Unit     string   `json:"unit" doc:"as written"`
	SI       Num      `json:"si" doc:"the number in SI: what is shown in another unit is worked out by it"`
	Step     float64  `json:"step" doc:"one step of the last written digit, in unit"`
	Min      Num      `json:"min" doc:"in unit"`
	Above    bool     `json:"above" doc:"the least itself is not allowed"`
	Max      Num      `json:"max"`
	Kind     string   `json:"kind" doc:"what is measured: volume"`
	Words    []string `json:"words" nullable:"false" doc:"what may be chosen"`
	Fallback string   `json:"fallback" doc:"what holds where it is left out, in words"`
	Example  string   `json:"example"`
	Doc      string   `json:"doc"`
	Required bool     `json:"required"`
	Line     int      `json:"line"`
	Column   int      `json:"column"`
}

// Finding is one thing that a person should know.
type Finding struct {
	ID       string `json:"id"`
	Severity string `json:"severity" enum:"default,caution,warning,error"`
	Where    string `json:"where" doc:"path in the study"`
	Line     int    `json:"line"`
	Column   int    `json:"column"`
	Text     string `json:"text"`
	Mend     string `json:"mend"`

	Instead []string    `json:"instead,omitempty" nullable:"false" doc:"texts, any of which may stand in place of what is faulty there"`
	Apart   *note.Apart `json:"apart,omitempty" doc:"what a sheet says twice, differently"`
}

// Result is an evaluated study.
type Result struct {
	Title        string        `json:"title"`
	Note         string        `json:"note"`
	Units        string        `json:"units" enum:"metric,imperial"`
	Terms        string        `json:"terms"`
	Brief        string        `json:"brief" doc:"in sentences; empty if nothing is asked"`
	HasBrief     bool          `json:"has_brief"`
	BriefMet     bool          `json:"brief_met"`
	Through      string        `json:"through" doc:"the filters that the drive goes through, in words; empty if there is none"`
	Told         string        `json:"told" doc:"whether the brief is met, in words"`
	Drive        Drive         `json:"drive"`
	Lead         string        `json:"lead"`
	Yardstick    int           `json:"yardstick"`
	FrequencyKey string        `json:"frequency_key"`
	Frequency    Curve         `json:"frequency,omitempty" doc:"Hz, of all curves; absent if the request has the key already"`
	Strips       []Strip       `json:"strips" nullable:"false"`
	Asked        []Asked       `json:"asked" nullable:"false" doc:"what the brief asks of the level"`
	LimitsFrom   float64       `json:"limits_from" doc:"Hz, from where limits are held"`
	HeadsKey     string        `json:"heads_key"`
	Heads        []Head        `json:"heads,omitempty" nullable:"false" doc:"of the rows of the ledger; absent if the request has the key already"`
	Candidates   []Candidate   `json:"candidates" nullable:"false"`
	Drivers      []Driver      `json:"drivers" nullable:"false"`
	Doubts       []Finding     `json:"doubts" nullable:"false" doc:"what makes the figures doubtful, each once, in sentences that name what they are about"`
	Filled       []string      `json:"filled" nullable:"false" doc:"what was filled in because the study leaves it out"`
	Cautions     []Finding     `json:"cautions" nullable:"false"`
	Demands      []Demand      `json:"demands" nullable:"false" doc:"what the brief asks of the air"`
	Figures      []FigureWords `json:"figures" nullable:"false" doc:"what can be drawn as a file"`
	Next         []Variant     `json:"next" nullable:"false" doc:"candidates that suggest themselves"`
	Opened       *Opened       `json:"opened,omitempty" doc:"the cell that the request has open; absent if it has none, or the cell has no value any more"`
}

// Strip is one plot: what its curves are called, in which unit, and its wall.
type Strip struct {
	Key   StripKey `json:"key"`
	Name  string   `json:"name"`
	Unit  string   `json:"unit"`
	Log   bool     `json:"log"`
	Limit Num      `json:"limit" doc:"in unit; null if none holds for all"`
	Below bool     `json:"below" doc:"the limit is a floor"`
	Told  string   `json:"told" doc:"what is said of limits that differ"`
}

// FigureKey is what a figure is called.
type FigureKey string

// Schema tells the description of the interface which there are.
func (FigureKey) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, f := range figureWords() {
		s.Enum = append(s.Enum, string(f.Key))
	}
	s.PrecomputeMessages()
	return s
}

// StripKey is that of a curve that has a strip of its own.
type StripKey string

// Schema tells the description of the interface which there are.
func (StripKey) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, k := range report.FigureNames() {
		if k != "impulse" && k != "section" && k != "schematic" {
			s.Enum = append(s.Enum, k)
		}
	}
	s.PrecomputeMessages()
	return s
}

// FigureWords is a figure in words.
type FigureWords struct {
	Key   FigureKey `json:"key"`
	Title string    `json:"title"`
}

// Asked is a goal of the brief.
type Asked struct {
	Words string  `json:"words" doc:"asked: F3 at 36 Hz"`
	At    float64 `json:"at" doc:"Hz"`
	Level Num     `json:"level" doc:"dB; null for an extension"`
}

// Head is what stands before a row of the ledger; each candidate has a cell in it.
type Head struct {
	Group string  `json:"group" doc:"the heading above; empty if it goes on"`
	Key   string  `json:"key"`
	Name  string  `json:"name"`
	Unit  string  `json:"unit"`
	Per   float64 `json:"per" doc:"the unit in SI; 0 of what is no quantity"`
	Limit bool    `json:"limit" doc:"its cells are gauges"`
	Opens bool    `json:"opens" doc:"its values can be opened: see Ask.open"`
}

// Cell is what stands in a row for one candidate.
type Cell struct {
	Text  string `json:"text"`
	At    string `json:"at,omitempty" doc:"where it is worst"`
	Asked string `json:"asked,omitempty" doc:"what was asked, where it is missed"`
	Fill  Num    `json:"fill,omitempty" doc:"share of the limit; above 1 it is passed"`
	Over  bool   `json:"over,omitempty"`
	Path  string `json:"path,omitempty" doc:"of the field that sets it; absent if it follows from others"`
}

// Cellmark names a cell of the ledger.
type Cellmark struct {
	Row       string  `json:"row" maxLength:"100" doc:"its key; level-at: of the row that follows the hairline"`
	Candidate string  `json:"candidate" maxLength:"100"`
	At        float64 `json:"at,omitempty" doc:"Hz, of level-at"`
}

// Opened is where the value of a cell comes from.
type Opened struct {
	Cellmark
	Step Step `json:"step"`
}

// Candidate is one candidate, evaluated.
type Candidate struct {
	Name      string    `json:"name"`
	Note      string    `json:"note"`
	Plain     string    `json:"plain" doc:"one line of plain words"`
	Kind      string    `json:"kind" doc:"of enclosure, in words"`
	Met       bool      `json:"met" doc:"it gives all that is asked"`
	Misses    []Miss    `json:"misses" nullable:"false"`
	Verdict   []string  `json:"verdict" nullable:"false" doc:"how it differs from the yardstick"`
	Summary   []string  `json:"summary" nullable:"false"`
	Reversed  bool      `json:"wrong_polarity"`
	Gives     Gives     `json:"gives" doc:"what gives first as the level is turned up"`
	Steps     []Step    `json:"steps" nullable:"false" doc:"the ledger: where its figures come from"`
	Words     []string  `json:"words" nullable:"false" doc:"polarity, and what a stack is not"`
	CurvesKey string    `json:"curves_key" doc:"identifies the curves"`
	Curves    *Curves   `json:"curves,omitempty" doc:"absent if the request has the key already"`
	DrawKey   string    `json:"drawings_key"`
	Section   string    `json:"section,omitempty" doc:"SVG; absent if the request has the key already"`
	Told      []Remark  `json:"told,omitempty" doc:"what the section cannot show, in words; comes with it"`
	Across    float64   `json:"across" doc:"width of the section; all are drawn at one scale"`
	Course    *Course   `json:"course,omitempty" doc:"where the points of a duct’s profile are in its drawing; comes with the section"`
	WiringKey string    `json:"wiring_key"`
	Wiring    string    `json:"wiring,omitempty" doc:"SVG of the wiring; absent if the request has the key already"`
	CellsKey  string    `json:"cells_key"`
	Cells     []Cell    `json:"cells,omitempty" nullable:"false" doc:"its column of the ledger, one for each of its heads; absent if the request has the key already"`
	Variants  []Variant `json:"variants" nullable:"false"`
}

// Remark is what a drawing cannot show.
type Remark struct {
	Text   string `json:"text"`
	Weight string `json:"weight" enum:",heed,stop"`
}

// Miss is one thing that a candidate does not give.
type Miss struct {
	Check string `json:"check"`
	Short string `json:"short"`
	Text  string `json:"text"`
	Mend  string `json:"mend"`
}

// Step is a line of a derivation.
type Step struct {
	Name    string `json:"name"`
	Symbol  string `json:"symbol"`
	Unit    string `json:"unit"`
	Single  string `json:"single" doc:"the single driver’s value"`
	Value   string `json:"value"`
	Rule    string `json:"rule"`
	Why     string `json:"why"`
	Formula string `json:"formula"`
	Numbers string `json:"numbers"`
	Source  string `json:"source"`
}

// Demand is a step of what the brief asks.
type Demand struct {
	Step
	Short bool `json:"short" doc:"the woofer does not have it"`
}

// Curves are a candidate’s, each in the unit of its strip.
type Curves struct {
	Level      Packed `json:"level"`
	Plain      Packed `json:"plain-level" doc:"level in the plain space; empty where level is that"`
	Excursion  Packed `json:"excursion"`
	Greatest   Packed `json:"greatest" doc:"under a sine; empty where no limit is known"`
	Impedance  Packed `json:"impedance"`
	Phase      Packed `json:"phase"`
	GroupDelay Packed `json:"group-delay"`
	PortSpeed  Packed `json:"port-speed" doc:"peak; empty if there is no opening"`
	Power      Packed `json:"power" doc:"of the hottest coil"`
	Time       Packed `json:"time" doc:"ms, of step; empty unless asked for"`
	Step       Packed `json:"step" doc:"over its own peak"`
}

// Trace is one curve with the name of its part.
type Trace struct {
	Name string `json:"name"`
	Y    Curve  `json:"y"`
}

// Driver is a woofer of the shortlist.
type Driver struct {
	Name     string    `json:"name"`
	Steps    []Step    `json:"steps" nullable:"false" doc:"the completed datasheet"`
	Findings []Finding `json:"findings" nullable:"false"`
	Drawing  string    `json:"drawing" doc:"SVG, in section"`
	Across   float64   `json:"across" doc:"width of the drawing; all are drawn at one scale"`
}

// Variant is a change that suggests itself.
type Variant struct {
	ID      string             `json:"id"`
	Sort    string             `json:"sort" enum:"mounting,arrangement,wiring,polarity,box,size"`
	Words   string             `json:"words"`
	Why     string             `json:"why,omitempty" doc:"how it was sized, where that takes more than a clause"`
	Current bool               `json:"current"`
	Changes []studyfile.Change `json:"changes" nullable:"false"`
}

// Ask is what an answer should hold.
type Ask struct {
	Yardstick string    `json:"yardstick,omitempty" doc:"candidate that the others are told against; the first"`
	From      float64   `json:"from,omitempty" doc:"Hz, 1 to 20000; 10"`
	To        float64   `json:"to,omitempty" doc:"Hz; 400"`
	Points    int       `json:"points,omitempty" minimum:"0" maximum:"2000" doc:"400"`
	Time      bool      `json:"time,omitempty" doc:"step responses too"`
	Have      []string  `json:"have,omitempty" maxItems:"322" nullable:"false" doc:"keys of what need not be sent again: curves, drawings, the ledger and its columns"`
	Suggest   bool      `json:"suggest,omitempty" doc:"variations and next candidates too, which take longer"`
	Kinds     string    `json:"kinds,omitempty" doc:"candidate whose variations are to have enclosures with a duct too: to size them takes longest"`
	Open      *Cellmark `json:"open,omitempty" doc:"cell of the ledger that is open: where its value comes from"`
	Quick     bool      `json:"quick,omitempty" doc:"while a value is being dragged: without mends, suggestions, fields and the candidates’ accounts"`
}

// Try is a request to see what changes of a study would do.
type Try struct {
	Ask
	Changes []studyfile.Change `json:"changes,omitempty" maxItems:"500" nullable:"false"`
}

// Edit is a request to change a study.
type Edit struct {
	Ask
	Base    string             `json:"base" doc:"revision that the changes were made on"`
	Changes []studyfile.Change `json:"changes,omitempty" maxItems:"500" nullable:"false"`
	Label   string             `json:"label,omitempty" maxLength:"200" doc:"what was done, for undo"`
}

// TryText is a request to see what a text would do.
type TryText struct {
	Ask
	Text string `json:"text" maxLength:"1048576"`
}

// NewText is a request to replace the text of a study.
type NewText struct {
	Ask
	Base  string `json:"base"`
	Text  string `json:"text" maxLength:"1048576"`
	Label string `json:"label,omitempty" maxLength:"200"`
	Anew  bool   `json:"anew,omitempty" doc:"write the file anew if it is gone"`
}

// Clash is an edit that meets another: nothing was written.
type Clash struct {
	Title  string  `json:"title"`
	Detail string  `json:"detail"`
	Path   string  `json:"path" doc:"of the field concerned; empty if the texts as a whole differ"`
	Was    string  `json:"was" doc:"what the page had"`
	Is     string  `json:"is" doc:"what the file has"`
	Yours  string  `json:"yours" doc:"text with the edit, on what is on disk or else on what the page had; empty if it cannot be made"`
	Kept   int     `json:"kept" doc:"state of the history that holds yours; 0 if none does"`
	Theirs string  `json:"theirs" doc:"text on disk"`
	Base   string  `json:"base" doc:"revision on disk: save from here to keep yours"`
	Lines  []Lined `json:"lines" nullable:"false" doc:"from theirs to yours: the lines that differ, with some around them"`
}

// Lined is one line of a comparison of two texts.
type Lined struct {
	Sort  string `json:"sort" enum:"same,gone,new,gap" doc:"gap: lines that are not told, in words"`
	Left  int    `json:"left" doc:"line number before; 0 if it is not there"`
	Right int    `json:"right"`
	Text  string `json:"text"`
}

// Past is one state of a study’s history.
type Past struct {
	ID        int       `json:"id"`
	Label     string    `json:"label"`
	Saved     time.Time `json:"saved"`
	Revision  string    `json:"revision"`
	Current   bool      `json:"current"`
	Overtaken bool      `json:"overtaken" doc:"an edit that never was on disk: from outside and too late, or refused"`
}

// Side is one of two versions that are compared.
type Side struct {
	Study string `json:"study"`
	State int    `json:"state" doc:"id in its history; 0: as it is on disk"`
}

// Against compares two versions of a study, from the older to the newer, or
// another study with this one.
type Against struct {
	Was   Side         `json:"was"`
	Is    Side         `json:"is"`
	Lines []Lined      `json:"lines" nullable:"false"`
	Rows  []AgainstRow `json:"rows" nullable:"false" doc:"figures that differ"`
	Note  string       `json:"note" doc:"why there are no figures"`
}

// AgainstRow is a figure that differs, or a candidate that only one of the two
// versions has.
type AgainstRow struct {
	Candidate string `json:"candidate"`
	Only      string `json:"only" enum:",was,is" doc:"which version has the candidate, if only one has; then there is no figure"`
	Name      string `json:"name"`
	Unit      string `json:"unit"`
	Was       string `json:"was" doc:"empty if the figure is not there"`
	Is        string `json:"is"`
}

// Sheet is a datasheet as pasted, and what was understood of it.
type Sheet struct {
	Lines    []SheetLine `json:"lines" nullable:"false"`
	Numbers  string      `json:"numbers" doc:"how the sheet writes its decimals, in words"`
	Open     int         `json:"open" doc:"how many questions wait for an answer"`
	Driver   string      `json:"driver" doc:"YAML of the driver; what is in doubt is not in it"`
	Steps    []Step      `json:"steps" nullable:"false"`
	Findings []Finding   `json:"findings" nullable:"false"`
	Name     string      `json:"name" doc:"what is wrong with the name that was given; empty if nothing is"`
}

// SheetLine is one line of it.
type SheetLine struct {
	Number  int      `json:"number"`
	Text    string   `json:"text"`
	Key     string   `json:"key" doc:"of the study file; empty if the line says nothing that it takes"`
	Value   string   `json:"value" doc:"as it will stand in the study"`
	How     string   `json:"how" doc:"how it was read, where that is not plain"`
	Doubt   string   `json:"doubt" doc:"what a person must decide"`
	Choices []string `json:"choices" nullable:"false"`
	Ignored string   `json:"ignored" doc:"why the line was passed over"`
}

func findings(list []note.Finding) []Finding {
	out := make([]Finding, 0, len(list))
	for _, f := range list {
		out = append(out, Finding{f.ID, f.Severity.String(), f.Where, f.At.Line, f.At.Column, f.Text, f.Mend, f.Instead, f.Apart})
	}
	return out
}

func misses(list []study.Miss) []Miss {
	out := make([]Miss, 0, len(list))
	for _, m := range list {
		out = append(out, Miss{string(m.Check), m.Short, m.Text, m.Mend})
	}
	return out
}

// texts is a list that is never null.
func texts(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
