import{B as e,D as t,J as n,M as r,O as i,Q as a,R as o,ft as s,gt as c,lt as l,p as u,pt as d}from"./index-B43eN20B.js";var f=new Map(Object.entries(Object.assign({"../drawings/do-card.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
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
`,"../drawings/under-folds.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Blunt folds that fork and join</title>
<path d="M48 17C58 15 62 20 72 22C82 27 85 36 90 46C92 55 87 62 85 70C78 79 70 82 62 85C52 88 46 85 36 86C26 83 18 79 11 71C8 64 4 58 5 48C8 40 10 31 18 25C27 20 37 18 48 17Z"/>
<g stroke-width="1.7">
<path d="M57.5 53.2L70.1 55.2Q79.4 53 88 52.5M70.1 55.2Q78.4 58.4 86.5 60.8M76.1 57.4L74.9 65.2M55.8 56.7L66.5 62.3Q75.2 64.7 83.2 67.5M66.5 62.3Q71.3 69.1 77.1 74.4M61 59.7L56.2 65.7M52.3 59.2L57.3 68.7Q64.8 73.6 70.3 79M57.3 68.7Q58.9 76 60.9 82.8M58.5 73.9L50 77.5M47.8 60L48.1 70.3Q50.6 77.5 52.2 84.3M48.1 70.3Q43.9 77.3 41.8 84.1M47.6 65.2L39 65.3M43.3 59L36.5 67.8Q35.7 75.5 33.3 82.2M36.5 67.8Q29.9 72.9 24.2 78.1M31.8 71.5L23.3 67.8M39.9 56.4L29.6 62.5Q23.7 68.2 17.6 73.2M29.6 62.5Q20.1 63.7 11.9 66.1M34.6 59.2L29.5 53.5M38.4 52.8L25.6 53.2Q17.2 57.2 9 59.3M25.6 53.2Q16.6 51.8 8 50.9M19.2 52.2L18 44.5M39.1 49L27 45.6Q17.8 44.9 9.3 43.8M27 45.6Q20.3 39.9 13.2 35.9M33.1 47L36 40.4M41.8 45.9L34.1 37.6Q25.3 34.3 18.4 30.1M34.1 37.6Q30.4 30.8 26.4 24.6M31.4 32.8L38.6 27.6M45.9 44.2L42.5 34.2Q38 27.8 34.3 21.4M42.5 34.2Q44.5 26.6 44.5 19.6M44.5 39.1L52.9 37.3M50.5 44.3L54.5 34.5Q53 26.8 53.4 19.8M54.5 34.5Q59.4 28.2 63.5 22M58 30L67.3 31.8M54.6 46.1L62.8 38.2Q66.8 31.5 71.2 25.5M62.8 38.2Q71.7 35.2 78.9 31.3M58.9 42.4L65.5 46.9M57.1 49.3L69.4 46.4Q76.3 41 83.7 37.3M69.4 46.4Q78.6 46.1 87.2 45.3M75.9 46.2L79.3 53.5"/>
<ellipse cx="48" cy="52" rx="8" ry="6.5"/>
</g>
</svg>
`,"../drawings/under-gills.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Thin blades (gills)</title>
<ellipse cx="48" cy="52" rx="43" ry="35"/>
<ellipse cx="48" cy="52" rx="9" ry="7.5"/>
<g stroke-width="1.4">
<path d="M89.1 52L58 52M88.7 56.4L79.2 55.3M87.7 60.7L67.2 56.2M85.9 64.8L77.1 61.8M83.6 68.7L56.6 56.1M80.6 72.3L72.9 67.6M77 75.6L62.1 63.5M73 78.5L67.1 72.3M68.5 80.9L53 59.2M63.7 82.9L60 75.7M58.6 84.3L53.2 67.8M53.4 85.1L52.1 77.4M48 85.4L48 60.3M42.6 85.1L43.9 77.4M37.4 84.3L42.8 67.8M32.3 82.9L36 75.7M27.5 80.9L43 59.2M23 78.5L28.9 72.3M19 75.6L33.9 63.5M15.4 72.3L23.1 67.6M12.4 68.7L39.4 56.1M10.1 64.8L18.9 61.8M8.3 60.7L28.8 56.2M7.3 56.4L16.8 55.3M6.9 52L38 52M7.3 47.6L16.8 48.7M8.3 43.3L28.8 47.8M10.1 39.2L18.9 42.2M12.4 35.3L39.4 47.9M15.4 31.7L23.1 36.4M19 28.4L33.9 40.5M23 25.5L28.9 31.7M27.5 23.1L43 44.8M32.3 21.1L36 28.3M37.4 19.7L42.8 36.2M42.6 18.9L43.9 26.6M48 18.6L48 43.7M53.4 18.9L52.1 26.6M58.6 19.7L53.2 36.2M63.7 21.1L60 28.3M68.5 23.1L53 44.8M73 25.5L67.1 31.7M77 28.4L62.1 40.5M80.6 31.7L72.9 36.4M83.6 35.3L56.6 47.9M85.9 39.2L77.1 42.2M87.7 43.3L67.2 47.8M88.7 47.6L79.2 48.7"/>
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
`,"../drawings/view-base.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Base: dug out whole, with whatever wraps or holds it</title>
<path d="M4 32C12 30 22 31 29 33"/>
<path d="M67 33C74 31 84 30 92 32"/>
<path d="M42 5C42.5 20 42 34 40 46"/>
<path d="M54 5C53.5 20 54 34 56 46"/>
<path d="M40 46C33 49 30 55 30 62C30 73 38 79 48 79C58 79 66 73 66 62C66 55 63 49 56 46"/>
<path d="M30 62C27 57 27 50 30 45C31 49 34 50 36 48M66 62C69 57 69 50 66 45C65 49 62 50 60 48"/>
<g stroke-width="1.5">
<path d="M29 33C22 46 20 58 23 70C27 82 36 89 48 89C60 89 69 82 73 70C76 58 74 46 67 33"/>
<path d="M40 79L37 86M48 80V87M56 79L59 86"/>
<path d="M12 42h.1M16 54h.1M10 63h.1M18 75h.1M84 43h.1M79 56h.1M87 66h.1M80 76h.1M14 86h.1M84 86h.1"/>
<path d="M45 14C45.3 24 45 32 44.3 40M51 18C50.8 26 51 34 51.6 42"/>
</g>
</svg>
`,"../drawings/view-close-up.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Close-up: the surface from near by</title>
<path d="M62 62L86 86"/>
<path d="M40 10C57 10 70 23 70 40C70 57 57 70 40 70C23 70 10 57 10 40C10 23 23 10 40 10Z"/>
<g stroke-width="1.5">
<path d="M24 30C28 26 32 26 36 30M40 26C44 22 48 22 52 26M22 44C26 40 30 40 34 44M38 40C42 36 46 36 50 40M52 40C55 37 58 37 61 40M30 56C34 52 38 52 42 56M46 54C50 50 54 50 58 54"/>
</g>
</svg>
`,"../drawings/view-cut.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Cut: sliced from top to bottom, to show flesh, gills and the inside of the stem</title>
<path d="M9 40C10 21 27 9 48 9C69 9 86 21 87 40"/>
<path d="M9 40C9 43 11 44 13 43C19 33 30 28 40 28L40 76C39 84 42 88 48 88C54 88 57 84 56 76L56 28C66 28 77 33 83 43C85 44 87 43 87 40"/>
<path d="M13 43C20 49 28 50 33 47C37 44 39 38 40 33"/>
<path d="M83 43C76 49 68 50 63 47C59 44 57 38 56 33"/>
<g stroke-width="1.4">
<path d="M45 31C44.5 48 44.6 62 45 79M51 31C51.5 48 51.4 62 51 79M45 31C46 26 50 26 51 31M45 79C46 82 50 82 51 79"/>
<path d="M20 40.5C25 43.5 29 43 32 41M76 40.5C71 43.5 67 43 64 41M26 36.5C30 37.5 33 37 36 35.5M70 36.5C66 37.5 63 37 60 35.5"/>
</g>
</svg>
`,"../drawings/view-hand.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Named in the hand</title>
<path d="M20 62C18 50 28 44 36 50"/>
<path d="M30 60V24C30 18 38 18 38 24V44"/>
<path d="M38 44V20C38 14 46 14 46 20V42"/>
<path d="M46 42V24C46 18 54 18 54 24V46"/>
<path d="M54 46V32C54 26 62 26 62 32V60C62 76 54 86 42 86C30 86 26 76 20 62"/>
<g stroke-width="1.5">
<path d="M72 20C72 12 88 12 88 22C88 30 80 30 80 38M80 46V48"/>
</g>
</svg>
`,"../drawings/view-micrograph.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Micrograph: spores under the microscope</title>
<path d="M48 8C70 8 88 26 88 48C88 70 70 88 48 88C26 88 8 70 8 48C8 26 26 8 48 8Z"/>
<g stroke-width="1.5">
<path d="M26 30C26 21 36 21 35 30C34 39 26 39 26 30Z"/>
<path d="M46 24C46 15 56 15 55 24C54 33 46 33 46 24Z"/>
<path d="M64 36C64 27 74 27 73 36C72 45 64 45 64 36Z"/>
<path d="M20 52C20 43 30 43 29 52C28 61 20 61 20 52Z"/>
<path d="M38 46C38 37 48 37 47 46C46 55 38 55 38 46Z"/>
<path d="M56 56C56 47 66 47 65 56C64 65 56 65 56 56Z"/>
<path d="M32 68C32 59 42 59 41 68C40 77 32 77 32 68Z"/>
<path d="M50 74C50 65 60 65 59 74C58 83 50 83 50 74Z"/>
<path d="M70 58C70 49 80 49 79 58C78 67 70 67 70 58Z"/>
<path d="M58 82H76M58 79V85M76 79V85"/>
</g>
</svg>
`,"../drawings/view-side.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Side: cap, ring and the whole stem down to its base</title>
<path d="M13 37C13 21 29 9 48 9C67 9 83 21 83 37C83 40 80 41 77 40C60 35 36 35 19 40C16 41 13 40 13 37Z"/>
<path d="M41.5 37C42.5 50 42 64 40 76C38.5 84 42 88 48 88C54 88 57.5 84 56 76C54 64 53.5 50 54.5 37"/>
<path d="M41.8 49C37 51 36 54 36.5 57C43 61 53 61 59.5 57C60 54 59 51 54.2 49C50 51 46 51 41.8 49Z"/>
<g stroke-width="1.4">
<path d="M26 38.3L27 36M33 36.8L33.5 34M40 36L40.2 33M48 35.8V33M56 36L55.8 33M63 36.8L62.5 34M70 38.3L69 36"/>
<path d="M46 64C46.3 69 46 73 45.3 78M50 66C50.3 70 50.6 74 50.8 77"/>
<path d="M41 55.5L40.6 58M48 56.5V59.6M55 55.5L55.4 58"/>
</g>
</svg>
`,"../drawings/view-spore-print.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Spore print: on paper half white, half dark</title>
<path d="M7 11H89V85H7Z"/>
<path d="M48 11V20M48 76V85"/>
<g stroke-width="1.3">
<path d="M74 48L57 48M72.7 51.6L66.8 50.7M72.9 55.3L61.4 51.9M70.7 58.4L65.3 55.9M69.9 62.1L55.6 52.9M66.9 64.4L62.4 60.4M65 67.6L57.2 58.6M61.5 69L58.3 64M58.8 71.7L51.7 56.2M55 72L53.4 66.2M51.7 73.7L50 61.9M48 73L48 67M44.3 73.7L46.7 56.9M41 72L42.6 66.2M37.2 71.7L42.2 60.7M34.5 69L37.7 64M31 67.6L42.1 54.8M29.1 64.4L33.6 60.4M26.1 62.1L36.2 55.6M25.3 58.4L30.7 55.9M23.1 55.3L39.4 50.5M23.3 51.6L29.2 50.7M22 48L34 48M23.3 44.4L29.2 45.3M23.1 40.7L39.4 45.5M25.3 37.6L30.7 40.1M26.1 33.9L36.2 40.4M29.1 31.6L33.6 35.6M31 28.4L42.1 41.2M34.5 27L37.7 32M37.2 24.3L42.2 35.3M41 24L42.6 29.8M44.3 22.3L46.7 39.1M48 23L48 29M51.7 22.3L50 34.1M55 24L53.4 29.8M58.8 24.3L51.7 39.8M61.5 27L58.3 32M65 28.4L57.2 37.4M66.9 31.6L62.4 35.6M69.9 33.9L55.6 43.1M70.7 37.6L65.3 40.1M72.9 40.7L61.4 44.1M72.7 44.4L66.8 45.3"/>
<path d="M50 15H86M57.3 20H86M66.5 25H86M71.4 30H86M74.5 35H86M76.4 40H86M77.3 45H86M77.4 50H86M76.7 55H86M74.9 60H86M72.1 65H86M67.7 70H86M59.9 75H86M50 80H86"/>
</g>
</svg>
`,"../drawings/view-surroundings.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Surroundings: what it grows on and the tree nearby</title>
<path d="M14 5C17 26 17 46 13 60C11 66 8 70 4 73"/>
<path d="M40 5C38 26 38 44 42 57C44 63 48 67 54 69"/>
<path d="M4 79C18 75 28 77 38 78C56 80 74 77 92 79"/>
<path d="M56 58C56 51 61 47 66.5 47C72 47 77 51 77 58C71 56.5 62 56.5 56 58Z"/>
<path d="M64 57.5C64.5 64 64 70 63.5 77M69 57.5C69 64 69.3 70 70 77"/>
<path d="M76 68C76 64 79 61.5 82.5 61.5C86 61.5 89 64 89 68C85 67 80 67 76 68Z"/>
<path d="M81 67.5L80.7 77M84.5 67.5L85 77"/>
<g stroke-width="1.4">
<path d="M22 10V20M30 15V28M24 30V42M32 38V50M22 50C22 56 21 60 19 64M33 58C34 62 36 65 39 68"/>
<path d="M14 86C20 82 27 83 31 88C25 91 18 90 14 86ZM14 86L25 87.2"/>
<path d="M50 86L53 90M57 85L55 91M72 84L75 88"/>
</g>
</svg>
`,"../drawings/view-top.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Top: the cap from straight above</title>
<path d="M48 9C69.6 9.4 87.2 26 87 48C86.6 69.8 70 87.2 48 87C26 86.7 8.8 69.8 9 48C9.3 26.4 26.6 8.7 48 9Z"/>
<g stroke-width="1.4">
<path d="M83.9 49.8L80 49.6M82.6 57.9L76.4 56M79.6 65.5L76.1 63.3M75 72.2L70.1 67.5M69 77.6L66.7 74M62 81.6L59.5 75.2M54.2 83.9L53.6 79.5M46.2 84.5L46.5 77.5M38.3 83.1L39.3 78.8M30.8 80.1L33.9 73.9M24.2 75.4L26.8 72M18.8 69.3L24 65.2M14.9 62.2L18.5 60.4M12.6 54.3L18.9 53.1M12.1 46.2L16 46.4M13.4 38.1L19.6 40M16.4 30.5L19.9 32.7M21 23.8L25.9 28.5M27 18.4L29.3 22M34 14.4L36.5 20.8M41.8 12.1L42.4 16.5M49.8 11.5L49.5 18.5M57.7 12.9L56.7 17.2M65.2 15.9L62.1 22.1M71.8 20.6L69.2 24M77.2 26.7L72 30.8M81.1 33.8L77.5 35.6M83.4 41.7L77.1 42.9"/>
<path d="M59 46C59 53 54 58 47.5 58C41 58 36.5 53 37 46.5C37.5 40.5 42 36.5 48 36.6C54 36.7 58.6 40.5 59 46Z"/>
<path d="M30 32C33 28.5 36.5 26 40.5 24.6M62 26L65 28M70 36L71.5 39M28 62L30 65M38 70L41 71.5M64 66L61.5 68.5M44 42C45.5 41 47 40.7 49 40.8"/>
</g>
</svg>
`,"../drawings/view-underneath.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
<title>Underneath: gills, pores or spines, and where they meet the stem</title>
<path d="M48 9C69.6 9.4 87.2 26 87 48C86.6 69.8 70 87.2 48 87C26 86.7 8.8 69.8 9 48C9.3 26.4 26.6 8.7 48 9Z"/>
<circle cx="48" cy="48" r="9"/>
<g stroke-width="1.4">
<path d="M84.3 48L59.7 48M83.8 53.7L75.8 52.4M82.5 59.2L66.4 54M80.3 64.5L73 60.8M77.4 69.3L57.5 54.9M73.7 73.7L67.9 67.9M69.3 77.4L59.4 63.7M64.5 80.3L60.8 73M59.2 82.5L51.6 59.2M53.7 83.8L52.4 75.8M48 84.3L48 67.4M42.3 83.8L43.6 75.8M36.8 82.5L44.4 59.2M31.5 80.3L35.2 73M26.7 77.4L36.6 63.7M22.3 73.7L28.1 67.9M18.6 69.3L38.5 54.9M15.7 64.5L23 60.8M13.5 59.2L29.6 54M12.2 53.7L20.2 52.4M11.7 48L36.3 48M12.2 42.3L20.2 43.6M13.5 36.8L29.6 42M15.7 31.5L23 35.2M18.6 26.7L38.5 41.1M22.3 22.3L28.1 28.1M26.7 18.6L36.6 32.3M31.5 15.7L35.2 23M36.8 13.5L44.4 36.8M42.3 12.2L43.6 20.2M48 11.7L48 28.6M53.7 12.2L52.4 20.2M59.2 13.5L51.6 36.8M64.5 15.7L60.8 23M69.3 18.6L59.4 32.3M73.7 22.3L67.9 28.1M77.4 26.7L57.5 41.1M80.3 31.5L73 35.2M82.5 36.8L66.4 42M83.8 42.3L75.8 43.6"/>
<path d="M44 48C44 45.5 46 44 48 44"/>
</g>
</svg>
`})).map(([e,t])=>[e.replace(/^.*\/|\.svg$/g,``),t.replace(/<title>[^<]*<\/title>\s*/,``).trim()]));function p(e){return f.get(e)??``}var m={gilled:`form-gilled`,gilled_shell:`form-shell`,bolete:`form-bolete`,pored_stalked:`form-bolete`,bracket:`form-bracket`,half_bracket:`form-bracket`,crust:`form-crust`,chanterelle:`form-funnel`,spined_stalked:`form-spined`,spined_hanging:`form-spined`,club:`form-club`,coral:`form-coral`,rosette:`form-rosette`,cup:`form-cup`,saddle_brain:`form-saddle`,honeycomb:`form-honeycomb`,hard_stroma:`form-flask`,puffball:`form-ball`,earthball:`form-ball`,earthstar:`form-star`,stalked_puffball:`form-ball`,stinkhorn:`form-stinkhorn`,birds_nest:`form-cup`,jelly:`form-jelly`,truffle:`form-ball`,plant_parasite:`form-leaf`};function h(e){return e.startsWith(`lichen`)?`form-lichen`:e.startsWith(`slime`)?`form-slime`:m[e]??``}var g=e(`<span aria-hidden="true"></span>`);function _(e,f){d(f,!0);let m=u(f,`size`,3,48),h=l(()=>p(f.name));var _=g();let v,y;r(_,()=>n(h),!0),c(_),a(()=>{v=i(_,1,`drawing t-1c7scyz`,null,v,{fine:m()<48}),y=t(_,``,y,{width:`${m()/16}rem`,height:`${m()/16}rem`})}),o(e,_),s()}export{h as n,_ as t};