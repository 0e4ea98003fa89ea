import { mount } from 'svelte';
import App from './App.svelte';
import { script } from './parts/trusted';
import { language, toLeft } from './words';
import './style/fonts.css';
import './style/tokens.css';
import './style/base.css';

// The app starts out of reach from its second visit on. Plain HTTP under a name has no service worker; the page says so.
if (import.meta.env.PROD && 'serviceWorker' in navigator) {
  addEventListener('load', () => void navigator.serviceWorker.register(script('/sw.js') as string).then(() => navigator.serviceWorker.ready).then((there) => there.active?.postMessage('take along')).catch(() => undefined));
}

document.documentElement.lang = language.startsWith('en') ? 'en' : language;
document.documentElement.dir = toLeft ? 'rtl' : 'ltr';
mount(App, { target: document.getElementById('app')! });
