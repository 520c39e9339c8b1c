// Package netcase reads the reference networks: cases with exact solutions, for the tests and the benchmark of the solver.
//
// It refuses to know how a network is solved and where the files are: it takes a file system. Start reading at Load.
package netcase

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"sort"
	"strings"

	"winnow/internal/physics/network"
	"winnow/internal/unit"
)

// Case is a network with its solution.
type Case struct {
	Name, Family string
	Schema       int // 1, or 2 with joins or a humped fan
	Network      network.Network
	LinkIDs      []string
	Open         []network.Law // by link: the law with the link open, also where Network has it shut
	Want         Want
}

// Want is the solution on file.
type Want struct {
	Flows, Pressures []float64
	Joins            [][2]float64
	LegsReversed     []network.JoinLeg
	Points           []network.OperatingPoint
	Laminar          int
	Transition       []int // link numbers
}

type networkFile struct {
	Schema, Name, Family string
	Air                  struct{ Density, Viscosity float64 }
	Friction             struct {
		Model, Transition string
		LaminarBelow      float64 `json:"laminar_below"`
		TurbulentAbove    float64 `json:"turbulent_above"`
	}
	Nodes []struct {
		ID, Type string
		Pressure float64
	}
	Links []struct {
		ID, Type, From, To, State           string
		Diameter, Length, Roughness, K, CdA float64
		A, B                                float64
		Curve                               [][2]float64
		Speed                               float64
	}
	Joins []struct {
		ID, Through, Branch, Common string
		DThrough                    float64 `json:"d_through"`
		DBranch                     float64 `json:"d_branch"`
		DCommon                     float64 `json:"d_common"`
		Kappa                       float64
		KThrough                    float64 `json:"k_through"`
		KBranch                     float64 `json:"k_branch"`
	}
}

type solutionFile struct {
	Flows, Pressures []float64
	Joins            [][2]float64
	LegsReversed     []string `json:"legs_reversed"`
	Points           []struct {
		Flow   float64
		Rise   float64 `json:"pressure_rise"`
		Stable bool
	} `json:"operating_points"`
	Laminar    int      `json:"links_laminar"`
	Transition []string `json:"links_in_transition"`
}

// Load reads every case of a folder, NAME.json or NAME.json.gz with its NAME.solution.json, by number of links. A case without a
// solution, of an unknown schema or law is an error, and so is a folder without cases.
func Load(dir fs.FS) ([]Case, error) {
	files, err := fs.ReadDir(dir, ".")
	if err != nil {
		return nil, err
	}
	var out []Case
	for _, f := range files {
		base := strings.TrimSuffix(strings.TrimSuffix(f.Name(), ".gz"), ".json")
		if base == strings.TrimSuffix(f.Name(), ".gz") || strings.HasSuffix(base, ".solution") {
			continue
		}
		var nf networkFile
		if err := read(dir, f.Name(), &nf); err != nil {
			return nil, err
		}
		if !strings.HasPrefix(nf.Schema, "airflow-network/") {
			continue
		}
		var sf solutionFile
		if err := read(dir, base+".solution.json", &sf); err != nil {
			if err = read(dir, base+".solution.json.gz", &sf); err != nil {
				return nil, fmt.Errorf("%s: no solution: %w", f.Name(), err)
			}
		}
		c, err := build(&nf, &sf)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name(), err)
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no networks in the folder")
	}
	sort.SliceStable(out, func(i, j int) bool { return len(out[i].Network.Links) < len(out[j].Network.Links) })
	return out, nil
}

func read(dir fs.FS, name string, into any) error {
	raw, err := fs.ReadFile(dir, name)
	if err != nil {
		return err
	}
	if strings.HasSuffix(name, ".gz") {
		z, err := gzip.NewReader(bytes.NewReader(raw))
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if raw, err = io.ReadAll(z); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	if err := json.Unmarshal(raw, into); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

func build(nf *networkFile, sf *solutionFile) (Case, error) {
	c := Case{Name: nf.Name, Family: nf.Family}
	switch nf.Schema {
	case "airflow-network/1":
		c.Schema = 1
	case "airflow-network/2":
		c.Schema = 2
	default:
		return c, fmt.Errorf("schema %q is unknown", nf.Schema)
	}
	if fr := nf.Friction; fr.Model != "colebrook" || fr.Transition != "cubic-hermite-in-Re" || fr.LaminarBelow != 2000 || fr.TurbulentAbove != 4000 {
		return c, fmt.Errorf("friction %+v is not the rule we know", fr)
	}
	c.Network.Air = network.Air{Density: unit.KgPerM3(nf.Air.Density), Viscosity: unit.PascalSec(nf.Air.Viscosity)}
	node := map[string]int{}
	for i, n := range nf.Nodes {
		node[n.ID] = i
		c.Network.Nodes = append(c.Network.Nodes, network.Node{Fixed: n.Type == "terminal", Pressure: unit.Pascal(n.Pressure)})
	}
	at := func(id string) int {
		if i, ok := node[id]; ok {
			return i
		}
		return -1 // Compile names the link
	}
	link := map[string]int{}
	for i, l := range nf.Links {
		law := network.Law{
			Diameter: unit.Metre(l.Diameter), Length: unit.Metre(l.Length), Roughness: unit.Metre(l.Roughness), K: l.K,
			CdA: unit.M2(l.CdA), A: l.A, B: l.B, Speed: l.Speed,
		}
		switch l.Type {
		case "duct":
			law.Kind = network.Duct
		case "loss":
			law.Kind = network.Loss
		case "orifice":
			law.Kind = network.Orifice
		case "filter":
			law.Kind = network.Filter
		case "fan":
			law.Kind = network.Fan
			var points []network.FanPoint
			for _, p := range l.Curve {
				points = append(points, network.FanPoint{Flow: unit.M3PerSec(p[0]), Rise: unit.Pascal(p[1])})
			}
			curve, err := network.Straight(points)
			if err != nil {
				return c, fmt.Errorf("link %s: %w", l.ID, err)
			}
			law.Curve = curve
		default:
			return c, fmt.Errorf("link %s: type %q is unknown", l.ID, l.Type)
		}
		link[l.ID] = i
		c.LinkIDs = append(c.LinkIDs, l.ID)
		c.Open = append(c.Open, law)
		if l.State == "closed" {
			law = network.Law{Kind: network.Shut}
		}
		c.Network.Links = append(c.Network.Links, network.Link{From: at(l.From), To: at(l.To), Law: law})
	}
	leg := map[string]network.JoinLeg{}
	for i, j := range nf.Joins {
		c.Network.Joins = append(c.Network.Joins, network.Join{
			Through: at(j.Through), Branch: at(j.Branch), Common: at(j.Common),
			DThrough: unit.Metre(j.DThrough), DBranch: unit.Metre(j.DBranch), DCommon: unit.Metre(j.DCommon),
			Kappa: j.Kappa, KThrough: j.KThrough, KBranch: j.KBranch,
		})
		leg[j.ID+".through"] = network.JoinLeg{Join: i, Leg: network.Through}
		leg[j.ID+".branch"] = network.JoinLeg{Join: i, Leg: network.Branch}
	}
	c.Want = Want{Flows: sf.Flows, Pressures: sf.Pressures, Joins: sf.Joins, Laminar: sf.Laminar}
	if len(sf.Flows) != len(nf.Links) || len(sf.Pressures) != len(nf.Nodes) || len(sf.Joins) != len(nf.Joins) && c.Schema == 2 {
		return c, fmt.Errorf("the solution is of another network")
	}
	for _, id := range sf.LegsReversed {
		l, ok := leg[id]
		if !ok {
			return c, fmt.Errorf("leg %q is unknown", id)
		}
		c.Want.LegsReversed = append(c.Want.LegsReversed, l)
	}
	for _, id := range sf.Transition {
		c.Want.Transition = append(c.Want.Transition, link[id])
	}
	for _, p := range sf.Points {
		c.Want.Points = append(c.Want.Points, network.OperatingPoint{Flow: unit.M3PerSec(p.Flow), Rise: unit.Pascal(p.Rise), Stable: p.Stable})
	}
	return c, nil
}
