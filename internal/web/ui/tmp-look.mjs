import { chromium } from 'playwright-core';
import { spawn } from 'node:child_process';
import { rmSync } from 'node:fs';
import { readFileSync } from 'node:fs';
const data='/tmp/keyend-demo'; rmSync(data,{recursive:true,force:true});
const child = spawn('../../../bin/trug', ['demo','--data',data,'--listen','127.0.0.1:0'], {stdio:['ignore','pipe','pipe']});
let said=''; child.stdout.on('data',b=>said+=b); child.stderr.on('data',b=>said+=b);
while(!/Ctrl-C/.test(said)) await new Promise(r=>setTimeout(r,100));
const links=new Map(); for (const [,b,l] of said.matchAll(/^ *([^\n]*?):? *(https?:\/\/127\.0\.0\.1:\d+\/\S*)(?=[^\n]*\n)/gm)) links.set((b??'').replace(/ \(.*\)$/,'').trim(),l);
const origin=new URL([...links.values()][0]).origin;
const browser = await chromium.launch({executablePath:'/usr/bin/chromium',args:['--no-sandbox','--disable-gpu','--disable-dev-shm-usage']});
const ctx={};
for (const who of ['recorder','determiner','coordinator']) { const c=await browser.newContext({reducedMotion:'reduce'}); const p=await c.newPage(); await p.goto(links.get(who)); await p.close(); ctx[who]=c; }
const id='01a12a00-0000-7000-8000-000000000001'; const views=[];
for (const [n,k] of [['IMG_2041','top'],['IMG_2042','side'],['IMG_2043','underneath'],['IMG_2044','surroundings']]) { const a=await ctx.recorder.request.post(`${origin}/api/photographs?name=${n}.jpg`,{data:readFileSync(`story/files/${n}.jpg`),headers:{'Content-Type':'application/octet-stream'}}); views.push({photograph:(await a.json()).id,kind:k}); }
let r=await ctx.recorder.request.put(`${origin}/api/records/${id}`,{data:{found:{date:'2026-10-10',time:'11:34'},place:{lat:48.560412,lon:-19.951308,uncertainty:12,source:'camera'},fieldName:'Laccaria amethystina',form:'gilled',substrate:'litter_leaf',host:'Fagus',habit:'gregarious',numberSeen:9,smell:'none',views}}); console.log(r.status());
console.log((await ctx.recorder.request.post(`${origin}/api/records/${id}/answers`,{data:{character:'cap_color',states:['purple','brown']}})).status());
console.log((await ctx.coordinator.request.put(`${origin}/api/key`,{data:{learns:true,expects:true}})).status());
const shot=async(who,path,name,then,sizes=[[390,844],[1280,800]],full=true)=>{ for (const scheme of ['light','dark']) for (const [w,h] of sizes){ const p=await ctx[who].newPage(); p.on('pageerror',e=>console.log('ERR',e.message)); await p.setViewportSize({width:w,height:h}); await p.emulateMedia({colorScheme:scheme}); await p.goto(origin+path); await p.waitForLoadState('networkidle'); await then?.(p); await p.waitForLoadState('networkidle'); await p.waitForTimeout(300); await p.screenshot({path:`/tmp/looks/${name}-${w}-${scheme}.png`,fullPage:full}); await p.close(); } };
const lay=async p=>{ await p.getByRole('combobox',{name:'Put a name to it'}).waitFor(); await p.getByRole('heading',{level:1}).first().click(); await p.keyboard.press('k'); await p.getByRole('heading',{name:'The key'}).waitFor(); await p.waitForLoadState('networkidle'); await p.keyboard.press('v'); };
await shot('determiner',`/table?find=${id}`,'key',lay);
await shot('determiner',`/table?find=${id}`,'keyview',lay,[[1280,800]],false);
await shot('recorder',`/record/${id}`,'questions',async p=>{ await p.getByRole('button',{name:/^Answer /}).click(); });
await shot('coordinator','/desk/names','desk',async p=>{ await p.getByRole('heading',{name:'The key'}).waitFor(); });
await browser.close(); child.kill('SIGINT'); 
