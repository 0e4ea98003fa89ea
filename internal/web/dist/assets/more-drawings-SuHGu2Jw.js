import{S as e,x as t}from"./day-B_xWkGoH.js";var n=new Map(Object.entries(Object.assign({"../drawings/do-card.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Lay it on the card</title>
<path d="M8 46H88V86H8Z"/>
<path d="M13 51h10v10h-10zM73 51h10v10h-10zM13 71h10v10h-10zM73 71h10v10h-10z"/>
<circle cx="48" cy="65" r="15"/>
<circle cx="48" cy="65" r="3.5"/>
<g stroke-width="1.5">
<path d="M62.3 65L52 65M61.6 69.4L56.5 67.8M59.6 73.4L51.3 67.4M56.4 76.6L53.2 72.2M52.4 78.6L49.2 68.8M48 79.3L48 73.9M43.6 78.6L46.8 68.8M39.6 76.6L42.8 72.2M36.4 73.4L44.7 67.4M34.4 69.4L39.5 67.8M33.7 65L44 65M34.4 60.6L39.5 62.2M36.4 56.6L44.7 62.6M39.6 53.4L42.8 57.8M43.6 51.4L46.8 61.2M48 50.7L48 56.1M52.4 51.4L49.2 61.2M56.4 53.4L53.2 57.8M59.6 56.6L51.3 62.6M61.6 60.6L56.5 62.2"/>
<path d="M48 10V36M48 36L41 28M48 36L55 28"/>
</g>
</svg>
`,"../drawings/do-hand.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Hold the phone a hand’s length away and touch the gills on the screen</title>
<path d="M26 8H66V32H26Z"/>
<ellipse cx="46" cy="74" rx="24" ry="5.5"/>
<path d="M22 74C22 83 33 90 46 90C59 90 70 83 70 74"/>
<path d="M43.5 74V62C43.5 60 48.5 60 48.5 62V74"/>
<g stroke-width="1.6">
<path d="M26 75L41 74.5M33 77.5L42.5 75.5M46 79V76M59 77.5L49.5 75.5M66 75L51 74.5"/>
<path d="M84 34V74M80 38.5L84 34L88 38.5M80 69.5L84 74L88 69.5"/>
<circle cx="46" cy="20" r="6.5"/>
<path d="M46 36V56" stroke-dasharray="2 5"/>
</g>
</svg>
`,"../drawings/do-mirror.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>A small mirror held under the cap, the mushroom left standing</title>
<path d="M10 42C13 22 26 12 42 12C58 12 71 22 74 42C60 46 24 46 10 42Z"/>
<path d="M36 45C37 58 36 70 34 84M48 45C47 58 48 70 50 84"/>
<path d="M6 84H90"/>
<path d="M57 70L77 60C80 58.5 82 62.500 79 64L59 74C56 75.500 54 71.500 57 70Z"/>
<path d="M80 61L91 55"/>
<g stroke-width="1.4"><path d="M60 43L66 64" stroke-dasharray="3 4"/><path d="M66 64L84 34" stroke-dasharray="3 4"/><path d="M18 43.500V40M24 44.500V40M30 45V40M54 45V40M60 44.500V40M66 43.500V40"/></g>
</svg>
`,"../drawings/do-turn.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Turn it over: gills up</title>
<ellipse cx="46" cy="56" rx="34" ry="9.5"/>
<path d="M12 56C12 74 28 86 46 86C64 86 80 74 80 56"/>
<path d="M42 55C42.5 44 42 34 41 26C41 22 51 22 51 26C50 34 49.5 44 50 55"/>
<g stroke-width="1.6">
<path d="M16 57L38 57.5M22 60.5L40 58.5M31 63.5L42.5 59.5M46 65V60M61 63.5L49.5 59.5M70 60.5L52 58.5M76 57L54 57.5M22 51.5L40 54.5M70 51.5L52 54.5"/>
<path d="M62 20C76 20 88 30 89 44M89 44L82.5 38.5M89 44L93 36.5"/>
</g>
</svg>
`,"../drawings/form-ball.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Puffball or ball</title>
<path d="M48 14C68 14 80 28 78 44C76 58 64 62 62 72C62 80 58 84 48 84C38 84 34 80 34 72C32 62 20 58 18 44C16 28 28 14 48 14Z"/>
<g stroke-width="1.5">
<path d="M36 28L38 31M48 24V27.5M60 28L58 31M30 42H33M42 40V43M54 40V43M66 42H63M38 54L40 51.5M58 54L56 51.5M48 56V53"/>
<path d="M42 66C42 72 42 76 43 80M54 66C54 72 54 76 53 80"/>
</g>
</svg>
`,"../drawings/form-bolete.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Fleshy mushroom with pores</title>
<path d="M10 50C10 28 28 16 48 16C68 16 86 28 86 50C86 56 80 58 74 57C58 54 38 54 22 57C16 58 10 56 10 50Z"/>
<path d="M40 56C34 66 32 76 34 84C40 89 56 89 62 84C64 76 62 66 56 56"/>
<g stroke-width="1.5">
<path d="M18 50C36 45 60 45 78 50"/>
<circle cx="24" cy="53" r="1.1"/><circle cx="31" cy="51.6" r="1.1"/><circle cx="38" cy="50.8" r="1.1"/><circle cx="45" cy="50.4" r="1.1"/><circle cx="52" cy="50.4" r="1.1"/><circle cx="59" cy="50.8" r="1.1"/><circle cx="66" cy="51.6" r="1.1"/><circle cx="73" cy="53" r="1.1"/>
<path d="M42 66L46 72M54 66L50 72M42 76L46 82M54 76L50 82"/>
</g>
</svg>
`,"../drawings/form-bracket.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Bracket</title>
<path d="M16 6V90"/>
<path d="M16 30C40 26 74 34 86 48C88 54 80 58 70 58C50 60 30 60 16 62"/>
<g stroke-width="1.5">
<path d="M16 37C38 34 62 38 76 49M16 44C34 42 52 44 64 51"/>
<path d="M24 61.3V64M34 60.6V63M44 60V62.5M54 59.5V62M64 58.7V61"/>
<path d="M8 12V30M8 42V66M8 76V86"/>
</g>
</svg>
`,"../drawings/form-club.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Club or coral</title>
<path d="M46 88C47 76 44 68 36 58C30 50 26 42 24 28M46 74C47 62 48 50 47 22M50 88C50 76 54 66 60 56C66 46 69 38 72 24"/>
<path d="M34 55C28 52 20 46 14 36M61 54C68 50 76 46 84 38M47 50C44 44 40 38 37 28M48 42C52 36 55 32 58 22"/>
<g stroke-width="1.5">
<path d="M36 88H60"/>
</g>
</svg>
`,"../drawings/form-coral.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Coral</title>
<path d="M38 88C42 78 40 72 34 64C26 56 22 50 20 38M20 38L12 26M20 38L26 24"/>
<path d="M34 64C38 54 38 46 36 36M36 36L30 22M36 36L42 20"/>
<path d="M58 88C54 78 56 72 62 64C70 56 74 50 76 38M76 38L84 26M76 38L70 24"/>
<path d="M62 64C58 54 58 46 60 36M60 36L66 22M60 36L54 20"/>
<path d="M48 74C48 60 48 54 48 46M48 46L45 32M48 46L51 32"/>
<g stroke-width="1.5">
<path d="M34 88H62"/>
</g>
</svg>
`,"../drawings/form-crust.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Flat crust on wood</title>
<path d="M6 40C26 34 70 34 90 40V66C70 72 26 72 6 66Z"/>
<path d="M26 48C30 42 42 44 50 43C60 42 68 46 70 52C71 58 62 62 52 61C42 62 28 60 26 48Z"/>
<g stroke-width="1.5">
<path d="M34 50H37M44 48H47M54 49H57M62 53H65M38 55H41M48 55H51M57 57H60"/>
<path d="M10 46C14 45 18 45 20 45M76 46C80 46 84 46 87 47M10 58C14 60 18 61 22 61M74 62C78 62 83 61 87 59"/>
</g>
</svg>
`,"../drawings/form-cup.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Cup</title>
<ellipse cx="48" cy="38" rx="36" ry="13"/>
<path d="M12 38C13 62 30 80 48 80C66 80 83 62 84 38"/>
<g stroke-width="1.5">
<path d="M22 40C30 48 66 48 74 40"/>
<path d="M8 82C24 79 70 79 88 82"/>
</g>
</svg>
`,"../drawings/form-flask.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Hard black fungus with pits</title>
<path d="M42 88C43 66 40 50 30 30L27 16M52 88C53 68 56 50 66 34L72 18"/>
<path d="M44 62C46 50 47 40 46 24L48 12M52 60C50 50 52 38 56 24"/>
<g stroke-width="1.5">
<path d="M45 72h.1M49 66h.1M47 80h.1M50 76h.1M38 52h.1M58 52h.1"/>
<path d="M34 88H62"/>
</g>
</svg>
`,"../drawings/form-funnel.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Funnel with folds</title>
<path d="M10 28C16 20 30 26 48 26C66 26 80 20 86 28C80 36 66 36 48 36C30 36 16 36 10 28Z"/>
<path d="M12 31C26 46 40 56 40 84H56C56 56 70 46 84 31"/>
<g stroke-width="1.5">
<path d="M44 80C44 60 36 48 26 38M48 80V40M52 80C52 60 60 48 70 38M40 56L34 40M56 56L62 40"/>
</g>
</svg>
`,"../drawings/form-gilled.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Gilled mushroom</title>
<path d="M12 46C13 29 28 17 48 17C68 17 83 29 84 46C84 50 81 51 78 49C62 43 34 43 18 49C15 51 12 50 12 46Z"/>
<path d="M42 45C43 60 42 72 40 84H56C54 72 53 60 54 45"/>
<g stroke-width="1.5">
<path d="M28 46.5L29 44M38 45V42.5M58 45V42.5M68 46.5L67 44"/>
</g>
</svg>
`,"../drawings/form-honeycomb.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Honeycomb on a stem</title>
<path d="M48 8C64 8 72 26 70 42C69 52 60 58 48 58C36 58 27 52 26 42C24 26 32 8 48 8Z"/>
<path d="M38 57C40 68 38 78 36 88H60C58 78 56 68 58 57"/>
<g stroke-width="1.5">
<path d="M40 16L48 22L56 16M48 22V32M32 26L40 34L48 32L56 34L64 26M40 34V44M56 34V44M28 42L40 44L48 50L56 44L68 42M48 50V57"/>
</g>
</svg>
`,"../drawings/form-jelly.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Jelly or ear</title>
<path d="M10 22C30 16 66 14 86 20"/>
<path d="M20 20C12 40 16 66 36 74C56 80 78 68 78 46C78 34 72 24 64 17"/>
<g stroke-width="1.5">
<path d="M32 30C27 42 30 56 40 62C52 67 64 60 65 48"/>
<path d="M46 34C42 42 44 50 50 52"/>
<path d="M40 62L36 74M65 48L78 46"/>
</g>
</svg>
`,"../drawings/form-leaf.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Spots on a living leaf</title>
<path d="M48 90V72C20 66 14 40 48 8C82 40 76 66 48 72"/>
<g stroke-width="1.5">
<path d="M48 72V20M48 58L34 48M48 58L62 48M48 42L38 34M48 42L58 34"/>
<circle cx="36" cy="58" r="3"/><circle cx="60" cy="60" r="2.4"/><circle cx="56" cy="28" r="2.4"/><circle cx="66" cy="42" r="2"/><circle cx="30" cy="44" r="2"/>
</g>
</svg>
`,"../drawings/form-lichen.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Leafy lichen</title>
<path d="M48 12C54 6 62 12 60 20C68 14 76 20 72 28C82 26 88 36 80 42C90 46 88 58 78 58C84 66 78 76 68 72C70 82 60 88 52 80C46 90 34 86 36 76C26 80 18 72 24 64C12 64 8 52 18 46C10 40 14 28 24 30C20 20 28 12 36 18C36 10 44 6 48 12Z"/>
<g stroke-width="1.5">
<path d="M48 46L50 24M48 46L66 32M48 46L70 52M48 46L60 66M48 46L42 68M48 46L28 56M48 46L28 38M48 46L36 28"/>
</g>
</svg>
`,"../drawings/form-rosette.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Cauliflower or rosette</title>
<path d="M48 84C30 84 12 74 12 58C4 50 12 38 22 40C20 26 36 20 44 30C50 18 68 22 68 34C80 30 90 42 82 52C88 66 70 84 48 84Z"/>
<g stroke-width="1.5">
<path d="M22 40C28 44 30 50 28 56M44 30C46 38 44 44 38 48M68 34C64 42 58 44 52 44M82 52C74 52 68 56 66 62M12 58C22 58 30 64 34 72M40 60C46 54 54 56 58 62M48 74C52 70 58 70 62 74"/>
</g>
</svg>
`,"../drawings/form-saddle.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Saddle or brain on a stem</title>
<path d="M14 34C20 16 34 18 40 30C46 38 54 38 58 28C64 14 80 18 82 34C84 48 72 56 60 52C50 48 44 50 36 54C22 58 10 48 14 34Z"/>
<path d="M40 53C40 66 38 76 36 86H60C58 76 56 66 56 51"/>
<g stroke-width="1.5">
<path d="M44 56C44 68 43 76 42 82M51 54C51 68 52 76 53 82M26 36C30 32 32 36 34 42M70 34C66 32 64 38 62 42"/>
</g>
</svg>
`,"../drawings/form-shell.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Shelf with gills</title>
<path d="M14 8V90"/>
<path d="M14 34C34 22 70 26 84 46C88 54 80 60 70 60C46 60 30 56 14 48"/>
<g stroke-width="1.5">
<path d="M18 49C36 50 58 52 76 58M18 47C38 46 62 46 82 52M18 44C38 40 62 38 80 44M16 41C34 34 56 32 72 36"/>
</g>
</svg>
`,"../drawings/form-slime.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Slime mould</title>
<path d="M30 60C24 52 24 38 32 34C40 38 40 52 34 60Z"/>
<path d="M50 56C44 46 44 30 53 26C62 30 62 46 56 56Z"/>
<path d="M70 62C65 55 65 44 72 40C79 44 79 55 74 62Z"/>
<path d="M32 60V78M53 56V78M72 62V78"/>
<g stroke-width="1.5">
<path d="M12 80C30 76 66 76 86 80M30 44H33M51 38H54M52 46H55M71 50H73M18 80C16 70 20 66 22 66C25 66 26 72 22 79"/>
</g>
</svg>
`,"../drawings/form-spined.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Spines</title>
<path d="M12 42C13 27 28 16 48 16C68 16 83 27 84 42C84 45 80 46 76 45C60 42 36 42 20 45C16 46 12 45 12 42Z"/>
<path d="M42 44C43 60 42 72 40 84H56C54 72 53 60 54 44"/>
<g stroke-width="1.5">
<path d="M18 46L20 56L23 45M24 45L26 57L29 44M30 44L32 57L35 43.5M36 43.5L38 56L41 44M55 44L58 56L60 43.5M61 43.5L64 57L66 44M67 44L70 57L72 45M73 45L76 56L78 46"/>
</g>
</svg>
`,"../drawings/form-star.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Earthstar</title>
<path d="M48 24C60 24 68 32 68 43C68 54 60 62 48 62C36 62 28 54 28 43C28 32 36 24 48 24Z"/>
<path d="M30 52C22 54 12 62 6 74C18 72 26 70 32 66C34 74 40 82 48 90C56 82 62 74 64 66C70 70 78 72 90 74C84 62 74 54 66 52"/>
<g stroke-width="1.5">
<path d="M44 30C46 27 50 27 52 30M48 26V22M36 60C40 64 56 64 60 60"/>
</g>
</svg>
`,"../drawings/form-stinkhorn.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Stinkhorn: a cage out of an egg</title>
<path d="M24 68C20 34 32 10 48 10C64 10 76 34 72 68"/>
<path d="M22 68C30 74 34 66 40 72C46 66 50 66 56 72C62 66 66 74 74 68C78 82 66 90 48 90C30 90 18 82 22 68Z"/>
<g stroke-width="1.5">
<path d="M30 34L48 22L66 34M25 52L42 40L48 22L54 40L71 52M42 40H54M30 66L38 54L42 40M66 66L58 54L54 40M38 54L48 64L58 54M30 34L42 40M66 34L54 40"/>
</g>
</svg>
`,"../drawings/under-pores.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Holes (pores)</title>
<ellipse cx="48" cy="52" rx="43" ry="35"/>
<ellipse cx="48" cy="52" rx="9" ry="7.5"/>
<g stroke-width="1.4">
<ellipse cx="35.8" cy="59.5" rx="2" ry="1.7"/><ellipse cx="70.6" cy="60.1" rx="2.1" ry="1.7"/><ellipse cx="78.4" cy="38.1" rx="2" ry="1.7"/><ellipse cx="49.7" cy="37.2" rx="2" ry="1.7"/><ellipse cx="28" cy="48.2" rx="2" ry="1.7"/><ellipse cx="56.3" cy="81.6" rx="1.9" ry="1.6"/><ellipse cx="64.7" cy="27.1" rx="2.3" ry="1.9"/><ellipse cx="36.7" cy="75.2" rx="1.9" ry="1.6"/><ellipse cx="43.9" cy="23.1" rx="1.8" ry="1.6"/><ellipse cx="22.8" cy="36.1" rx="2.3" ry="1.9"/><ellipse cx="74.5" cy="32.5" rx="2.4" ry="2.1"/><ellipse cx="59.4" cy="66.8" rx="2" ry="1.7"/><ellipse cx="77.6" cy="59.2" rx="2.5" ry="2.1"/><ellipse cx="25.5" cy="55.3" rx="2.5" ry="2.1"/><ellipse cx="65.2" cy="51.8" rx="1.9" ry="1.6"/><ellipse cx="34.2" cy="39.7" rx="2.1" ry="1.8"/><ellipse cx="27.2" cy="73.4" rx="2.5" ry="2.1"/><ellipse cx="50.9" cy="27.4" rx="2" ry="1.7"/><ellipse cx="49.8" cy="70.1" rx="1.9" ry="1.6"/><ellipse cx="81.6" cy="46.1" rx="1.8" ry="1.5"/><ellipse cx="16" cy="68.3" rx="2.4" ry="2"/><ellipse cx="43.4" cy="65.3" rx="2.1" ry="1.8"/><ellipse cx="19.9" cy="72.9" rx="2.5" ry="2.1"/><ellipse cx="73.2" cy="49.7" rx="2.2" ry="1.9"/><ellipse cx="41.3" cy="41.1" rx="2.5" ry="2.1"/><ellipse cx="48.2" cy="83.5" rx="2.5" ry="2.1"/><ellipse cx="68.4" cy="67.9" rx="1.8" ry="1.5"/><ellipse cx="61.4" cy="32.6" rx="2.2" ry="1.9"/><ellipse cx="57.6" cy="28" rx="2.5" ry="2.1"/><ellipse cx="29.8" cy="30.4" rx="2.4" ry="2"/><ellipse cx="59.2" cy="45.3" rx="1.7" ry="1.5"/><ellipse cx="68.8" cy="35.8" rx="2.3" ry="2"/><ellipse cx="83.6" cy="53.9" rx="2.4" ry="2"/><ellipse cx="66.1" cy="77.6" rx="2" ry="1.7"/><ellipse cx="54.7" cy="62.9" rx="1.9" ry="1.6"/><ellipse cx="12.2" cy="44.2" rx="2" ry="1.7"/><ellipse cx="15.1" cy="54.3" rx="2.4" ry="2"/><ellipse cx="60.8" cy="57.9" rx="1.8" ry="1.6"/><ellipse cx="14.2" cy="38.3" rx="1.8" ry="1.5"/><ellipse cx="50.5" cy="21.1" rx="2" ry="1.7"/><ellipse cx="22.9" cy="65.6" rx="2.5" ry="2.1"/><ellipse cx="56.5" cy="36.7" rx="1.7" ry="1.5"/><ellipse cx="59.6" cy="73.2" rx="2.2" ry="1.8"/><ellipse cx="37.3" cy="28.9" rx="2.4" ry="2"/><ellipse cx="83.1" cy="64.8" rx="2.5" ry="2.1"/><ellipse cx="36.4" cy="81.2" rx="2.4" ry="2"/><ellipse cx="66.3" cy="42.8" rx="2.3" ry="1.9"/><ellipse cx="76.7" cy="65" rx="2.2" ry="1.9"/><ellipse cx="33.3" cy="53.6" rx="2" ry="1.7"/><ellipse cx="40.8" cy="70.7" rx="1.9" ry="1.6"/><ellipse cx="33.8" cy="69.9" rx="2" ry="1.7"/><ellipse cx="77" cy="72.4" rx="2.3" ry="2"/><ellipse cx="29.8" cy="79.5" rx="1.9" ry="1.6"/><ellipse cx="20.5" cy="45.4" rx="2.3" ry="2"/><ellipse cx="16.9" cy="61.7" rx="1.8" ry="1.5"/><ellipse cx="44.9" cy="78.6" rx="2.5" ry="2.1"/><ellipse cx="57.9" cy="22" rx="2.5" ry="2.1"/><ellipse cx="20.7" cy="51.5" rx="2.1" ry="1.8"/><ellipse cx="44.9" cy="31.8" rx="1.9" ry="1.6"/><ellipse cx="9.8" cy="57.6" rx="2" ry="1.7"/><ellipse cx="26.9" cy="41.6" rx="1.7" ry="1.4"/><ellipse cx="29.1" cy="63.4" rx="2" ry="1.7"/><ellipse cx="38.7" cy="35.3" rx="2.1" ry="1.8"/><ellipse cx="31.2" cy="24.6" rx="2.5" ry="2.1"/><ellipse cx="10.1" cy="50.8" rx="2.4" ry="2.1"/><ellipse cx="53.1" cy="75.3" rx="1.9" ry="1.6"/><ellipse cx="36.3" cy="47.1" rx="2.2" ry="1.8"/><ellipse cx="37.5" cy="22.8" rx="2.3" ry="2"/><ellipse cx="73" cy="43.9" rx="1.7" ry="1.5"/><ellipse cx="71.1" cy="26.6" rx="2.3" ry="2"/><ellipse cx="19" cy="31.1" rx="2.2" ry="1.8"/><ellipse cx="24.5" cy="27.3" rx="2.3" ry="1.9"/><ellipse cx="64.1" cy="62.9" rx="1.8" ry="1.5"/>
</g>
</svg>
`,"../drawings/under-spines.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Spines that hang down</title>
<path d="M5 40C6 24 24 11 48 11C72 11 90 24 91 40C91 43 89 44 86 43C66 35 30 35 10 43C7 44 5 43 5 40Z"/>
<path d="M42 69C42 76 42 82 41 90M54 69C54 76 54 82 55 90"/>
<g stroke-width="1.5">
<path d="M12.1 38.4L14 44.9L15.9 38.4M18.1 40.2L20 46.7L21.9 40.2M24.1 41.7L26 48.2L27.9 41.7M30.1 42.8L32 49.3L33.9 42.8M36.1 43.5L38 50L39.9 43.5M42.1 43.9L44 50.4L45.9 43.9M48.1 44L50 50.5L51.9 44M54.1 43.7L56 50.2L57.9 43.7M60.1 43L62 49.5L63.9 43M66.1 42.1L68 48.6L69.9 42.1M72.1 40.7L74 47.2L75.9 40.7M78.1 39L80 45.5L81.9 39M12.1 45.9L14 52.4L15.9 45.9M18.1 47.7L20 54.2L21.9 47.7M24.1 49.2L26 55.7L27.9 49.2M30.1 50.3L32 56.8L33.9 50.3M36.1 51L38 57.5L39.9 51M42.1 51.4L44 57.9L45.9 51.4M48.1 51.5L50 58L51.9 51.5M54.1 51.2L56 57.7L57.9 51.2M60.1 50.5L62 57L63.9 50.5M66.1 49.6L68 56.1L69.9 49.6M72.1 48.2L74 54.7L75.9 48.2M78.1 46.5L80 53L81.9 46.5M84.1 44.5L86 51L87.9 44.5M18.1 55.7L20 61.7L21.9 55.7M24.1 57.2L26 63.2L27.9 57.2M30.1 58.3L32 64.3L33.9 58.3M36.1 59L38 65L39.9 59M42.1 59.4L44 65.4L45.9 59.4M48.1 59.5L50 65.5L51.9 59.5M54.1 59.2L56 65.2L57.9 59.2M60.1 58.5L62 64.5L63.9 58.5M66.1 57.6L68 63.6L69.9 57.6M72.1 56.2L74 62.2L75.9 56.2"/>
</g>
</svg>
`,"../drawings/walk-card.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>The card lies on a stone, level with the rim of the cap</title>
<path d="M10 134C50 130 84 135 108 132M132 132C168 135 204 130 230 133"/>
<path stroke-width="1.4" d="M26 131L23 121M30 131V119M34 131L38 122M206 131L203 122M210 131V120M214 131L218 123"/>
<path d="M84 78C84 57 100 46 120 46C140 46 156 57 156 78C156 81 153 82 150 81C131 75 109 75 90 81C87 82 84 81 84 78Z"/>
<path d="M113 77C114 94 113 112 111 124C110 131 114 135 120 135C126 135 130 131 129 124C127 112 126 94 127 77"/>
<path d="M113.6 91C109 93 108 96 108.5 99C115 102 125 102 131.5 99C132 96 131 93 126.400 91"/>
<path stroke-width="1.4" d="M97 78.5L98 76M105 77L105.5 74.5M120 76V73.5M135 77L134.5 74.5M143 78.5L142 76"/>
<path d="M170 80H220L228 86H178Z"/>
<path d="M178 86V89H228V86"/>
<path d="M184 90C178 100 174 116 177 133M222 90C227 102 229 118 226 132"/>
<g stroke-width="1.4">
<path d="M182 82H187M192 82H197M202 82H207M212 82H217"/>
<path d="M190 100C196 104 202 104 208 100M196 116C203 120 211 119 216 114"/>
<path d="M14 80H80" stroke-dasharray="5 5"/>
<path d="M160 80H166" stroke-dasharray="5 5"/>
</g>
</svg>
`,"../drawings/walk-close-up.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Close up: as near as the phone stays sharp, a hand away</title>
<path d="M40 4C44 40 44 100 38 146M112 4C108 40 108 100 116 146"/>
<path d="M60 52C54 46 56 36 66 38C70 28 84 30 86 40C96 40 98 52 90 56C94 66 84 74 76 68C68 76 56 68 60 60C54 58 56 54 60 52Z"/>
<path d="M196 50H208V106H196Z"/>
<path d="M190 72H196V84H190Z"/>
<g stroke-width="1.4">
<path d="M68 48C72 52 78 50 82 46M70 60C74 58 80 58 84 62M76 40V44"/>
<path d="M186 75L96 44" stroke-dasharray="5 5"/>
<path d="M186 81L90 70" stroke-dasharray="5 5"/>
<path d="M116 112H190M123 106L116 112L123 118M183 106L190 112L183 118"/>
<path d="M52 14V30M60 84V104M92 90V116M54 116V134M100 12V26M84 122V140"/>
</g>
</svg>
`,"../drawings/walk-side.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>From the side: the phone low, cap and foot in the picture</title>
<path d="M10 134C50 130 84 135 108 132M132 132C168 135 204 130 230 133"/>
<path stroke-width="1.4" d="M26 131L23 121M30 131V119M34 131L38 122M206 131L203 122M210 131V120M214 131L218 123"/>
<path d="M84 78C84 57 100 46 120 46C140 46 156 57 156 78C156 81 153 82 150 81C131 75 109 75 90 81C87 82 84 81 84 78Z"/>
<path d="M113 77C114 94 113 112 111 124C110 131 114 135 120 135C126 135 130 131 129 124C127 112 126 94 127 77"/>
<path d="M113.6 91C109 93 108 96 108.5 99C115 102 125 102 131.5 99C132 96 131 93 126.400 91"/>
<path stroke-width="1.4" d="M97 78.5L98 76M105 77L105.5 74.5M120 76V73.5M135 77L134.5 74.5M143 78.5L142 76"/>
<path d="M22 76H32V130H22Z"/>
<path d="M32 98H36V108H32Z"/>
<g stroke-width="1.4">
<path d="M40 101L86 50" stroke-dasharray="5 5"/>
<path d="M40 105L112 134" stroke-dasharray="5 5"/>
</g>
</svg>
`,"../drawings/walk-surroundings.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Surroundings: step back two paces and show the ground and the trees</title>
<path d="M10 134C60 130 120 135 230 132"/>
<path d="M26 6C30 40 30 90 22 132M54 6C51 40 52 90 62 132"/>
<path d="M80 116C80 108 86 104 92 104C98 104 104 108 104 116C97 114 87 114 80 116Z"/>
<path d="M89 115C90 121 89.5 127 89 132M95 115C94.5 121 95 127 95.5 132"/>
<path d="M108 124C108 119 112 116 116 116C120 116 124 119 124 124C119 122.5 113 122.5 108 124Z"/>
<path d="M114 123.5V132M118 123.5V132"/>
<path d="M168 40H226V110H168Z"/>
<g stroke-width="1.4">
<path d="M174 46H220V98H174Z"/>
<path d="M180 46C181 64 181 80 178 95M192 46C191 64 191 80 195 95M176 95H218"/>
<path d="M202 86C202 82 205 80 208 80C211 80 214 82 214 86C210 85 206 85 202 86ZM206.5 86V95M209.5 86V95"/>
<path d="M193 104H201"/>
<path d="M164 60L70 20" stroke-dasharray="5 5"/>
<path d="M164 96L70 134" stroke-dasharray="5 5"/>
<path d="M34 20V36M44 30V52M36 60V80M46 84V104M32 96V116"/>
<path d="M140 141C144 139 148 140 149 143C146 146 141 145 140 141ZM154 146C158 144 162 145 163 147C160 149 155 149 154 146Z"/>
</g>
</svg>
`,"../drawings/walk-top.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>From above: the phone level over the cap, the card beside it</title>
<path d="M10 134C50 130 84 135 108 132M132 132C168 135 204 130 230 133"/>
<path stroke-width="1.4" d="M26 131L23 121M30 131V119M34 131L38 122M206 131L203 122M210 131V120M214 131L218 123"/>
<path d="M84 78C84 57 100 46 120 46C140 46 156 57 156 78C156 81 153 82 150 81C131 75 109 75 90 81C87 82 84 81 84 78Z"/>
<path d="M113 77C114 94 113 112 111 124C110 131 114 135 120 135C126 135 130 131 129 124C127 112 126 94 127 77"/>
<path d="M113.6 91C109 93 108 96 108.5 99C115 102 125 102 131.5 99C132 96 131 93 126.400 91"/>
<path stroke-width="1.4" d="M97 78.5L98 76M105 77L105.5 74.5M120 76V73.5M135 77L134.5 74.5M143 78.5L142 76"/>
<path d="M88 8H152V17H88Z"/>
<path d="M114 17H126V21H114Z"/>
<path d="M172 80H214L221 85H179Z"/>
<path d="M186 88C181 100 178 116 181 132M214 88C219 102 221 118 218 131"/>
<g stroke-width="1.4">
<path d="M116 24L82 70" stroke-dasharray="5 5"/>
<path d="M124 24L214 76" stroke-dasharray="5 5"/>
<path d="M60 17V72M54 24L60 17L66 24M54 65L60 72L66 65"/>
</g>
</svg>
`,"../drawings/walk-underneath.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 150" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>From underneath: a small mirror under the cap shows the gills, nothing is picked</title>
<path d="M10 134C50 130 84 135 108 132M132 132C168 135 204 130 230 133"/>
<path stroke-width="1.4" d="M26 131L23 121M30 131V119M34 131L38 122M206 131L203 122M210 131V120M214 131L218 123"/>
<path d="M84 78C84 57 100 46 120 46C140 46 156 57 156 78C156 81 153 82 150 81C131 75 109 75 90 81C87 82 84 81 84 78Z"/>
<path d="M113 77C114 94 113 112 111 124C110 131 114 135 120 135C126 135 130 131 129 124C127 112 126 94 127 77"/>
<path d="M113.6 91C109 93 108 96 108.5 99C115 102 125 102 131.5 99C132 96 131 93 126.400 91"/>
<path stroke-width="1.4" d="M97 78.5L98 76M105 77L105.5 74.5M120 76V73.5M135 77L134.5 74.5M143 78.5L142 76"/>
<path d="M146 116L176 100L180 107L150 123Z"/>
<path d="M179 102L204 90"/>
<path d="M196 38H206V84H196Z"/>
<path d="M192 56H196V66H192Z"/>
<g stroke-width="1.4">
<path d="M140 82L160 108" stroke-dasharray="5 5"/>
<path d="M163 106L190 62" stroke-dasharray="5 5"/>
<path d="M150 119.5L177 104.5"/>
</g>
</svg>
`})).map(([n,r])=>[e(n),t(r)]));export{n as more};