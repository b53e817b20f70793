import { render } from 'preact'
render(<p>desk</p>, document.getElementById('desk')!)
