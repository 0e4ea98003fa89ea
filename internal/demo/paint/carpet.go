package paint

// carpet draws the ground and what is strewn over it.
func (s *scene) carpet(clear func(x, y float32) bool) {
	g, f := s.g, s.f
	k := f.cam.f / s.l.focus
	switch g.kind {
	case "wood":
		if s.find.Substrate == "stump" {
			g.drawStump(f, g.stumpRadius(), 320, k)
		} else {
			g.barkFloor(f, g.logRadius(), s.span*1.1, k)
		}
		s.forestFloor(-320, 0.3, func(x, y float32) bool { return abs(x) < 200 && abs(y-110) < 200 })
		p := f.visible(0, g.stumpRadius()*0.6, 0)
		if s.find.Substrate == "stump" {
			g.strewLeaves(f, p, clear)
		}
		return
	case "bark":
		g.barkFloor(f, g.bark.radius*1.5, s.span*1.1, k)
		if s.shot.View == Side {
			s.forestFloor(-700, 0.4, func(x, y float32) bool { return false })
		}
		return
	}
	g.drawFloor(f, 0, false)
	s.strewAll(f.visible(0, max(4*s.span, 1800), 40), clear)
}

func (g *ground) stumpRadius() float32 { return 170 + 0.4*g.bark.radius }

// forestFloor draws the ground below wood, with at least some litter.
func (s *scene) forestFloor(level, litter float32, clear func(x, y float32) bool) {
	below := *s.g
	below.kind = "litter"
	below.keep = nil
	below.litter = max(below.litter, litter)
	below.drawFloor(s.f, level, false)
	below.strewLeaves(s.f, s.f.visible(level, 4000, 60), clear)
}

// strewAll strews what belongs to the kind of ground.
func (s *scene) strewAll(p patch, clear func(x, y float32) bool) {
	g, f := s.g, s.f
	tall := 34 + 20*g.rough
	if s.shot.View == Surroundings {
		tall = min(tall*0.6, 12+0.4*s.bodies[0].length())
	}
	switch g.kind {
	case "grass":
		g.strewGrass(f, p, tall, 0.10, func(x, y float32) bool {
			return s.shot.View != Side && s.shot.View != Surroundings && s.underCard(x, y, s.cardR) || s.bare(x, y)
		})
	case "dung":
		g.strewGrass(f, p, tall, 0.06, func(x, y float32) bool { return x*x+y*y < 95*95 || clear(x, y) })
	case "moss":
		g.strewMoss(f, p, 0.035, clear)
		g.strewNeedles(f, p, 0.004, clear)
	case "needles":
		g.strewNeedles(f, p, 0.09, clear)
	case "chips":
		g.strewChips(f, p, clear)
	}
	g.strewLeaves(f, p, clear)
}
