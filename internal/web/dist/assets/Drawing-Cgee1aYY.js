const __vite__mapDeps=(i,m=__vite__mapDeps,d=(m.f||(m.f=["assets/more-drawings-CkfkoE2u.js","assets/drawing-text-7VdE-plt.js"])))=>i.map(i=>d[i]);
import{D as e,E as t,H as n,N as r,Ot as i,Q as a,St as o,W as s,at as c,c as l,d as u,gt as d,it as f,mt as p,xt as m,yt as h}from"./words-Cp0BjC-S.js";import{n as g,t as _}from"./drawing-text-7VdE-plt.js";import{t as v}from"./trusted-BJQEpSha.js";var y=new Map(Object.entries(Object.assign({"../drawings/view-base.svg":`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round">
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
`})).map(([e,t])=>[g(e),_(t)]));function b(e){return y.get(e)??``}async function x(e){if(!y.has(e)&&e!==``){let{more:e}=await l(async()=>{let{more:e}=await import(`./more-drawings-CkfkoE2u.js`);return{more:e}},__vite__mapDeps([0,1]));for(let[t,n]of e)y.set(t,n)}return b(e)}var S={gilled:`form-gilled`,gilled_shell:`form-shell`,bolete:`form-bolete`,pored_stalked:`form-bolete`,bracket:`form-bracket`,half_bracket:`form-bracket`,crust:`form-crust`,chanterelle:`form-funnel`,spined_stalked:`form-spined`,spined_hanging:`form-spined`,club:`form-club`,coral:`form-coral`,rosette:`form-rosette`,cup:`form-cup`,saddle_brain:`form-saddle`,honeycomb:`form-honeycomb`,hard_stroma:`form-flask`,puffball:`form-ball`,earthball:`form-ball`,earthstar:`form-star`,stalked_puffball:`form-ball`,stinkhorn:`form-stinkhorn`,birds_nest:`form-cup`,jelly:`form-jelly`,truffle:`form-ball`,plant_parasite:`form-leaf`};function C(e){return e.startsWith(`lichen`)?`form-lichen`:e.startsWith(`slime`)?`form-slime`:Object.hasOwn(S,e)?S[e]:``}var w=s(`<span aria-hidden="true"></span>`);function T(s,l){o(l,!0);let g=u(l,`size`,3,48),_=d({name:``,svg:``}),y=h(()=>b(l.name)||(a(_).name===l.name?a(_).svg:``));c(()=>{let e=l.name;b(e)===``&&x(e).then(t=>p(_,{name:e,svg:t}),()=>void 0)});var S=w();let C,T;r(S,()=>v(a(y)),!0),i(S),f(()=>{C=e(S,1,`drawing t-1c7scyz`,null,C,{fine:g()<48}),T=t(S,``,T,{width:`${g()/16}rem`,height:`${g()/16}rem`})}),n(s,S),m()}export{C as n,x as r,T as t};